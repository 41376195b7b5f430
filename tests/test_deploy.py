"""The container's files fit the app; whether an image builds from them cannot be tried without a container engine."""

import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from webapp.pages import health
from webapp.settings import PREFIX, Settings

ROOT = Path(__file__).parents[1]
DEPLOY = ROOT / "webapp" / "deploy"
STEPS = re.sub(r"\\\n", " ", (DEPLOY / "Containerfile").read_text(encoding="utf-8"))
READY = "http://127.0.0.1:8000/ready"


def steps(word: str) -> list[str]:
    """What follows a word at the beginning of the lines of the container file."""
    return re.findall(rf"^{word} +(.*)$", STEPS, re.MULTILINE)


@pytest.fixture(scope="module")
def services() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text(encoding="utf-8"))["services"]
    return found


def variables(environment: dict[str, str]) -> set[str]:
    return {name for name in environment if name.startswith(PREFIX)}


def test_the_container_holds_all_that_the_app_needs(tmp_path: Path) -> None:
    """The files that are copied into it are enough to answer from, in a folder of their own."""
    for step in steps("COPY"):
        *names, target = step.split()
        for name in names:
            assert (ROOT / name).exists()
            if (ROOT / name).is_dir():
                shutil.copytree(ROOT / name, tmp_path / target, ignore=shutil.ignore_patterns("__pycache__"))
    code = """
from pathlib import Path
from webapp import app, assets
from webapp.settings import Settings
made = app.create_app(Settings(data=Path("kept"), database_url=""))
assert made.state.store.pieces()
assert Path(app.__file__).is_relative_to(Path.cwd()), app.__file__
assert assets.folder("templates").is_relative_to(Path.cwd())
made.state.store.close()
"""
    subprocess.run([sys.executable, "-c", code], cwd=tmp_path, check=True)


def test_the_container_runs_as_nobody_of_note_and_keeps_its_data_outside() -> None:
    assert steps("USER")[-1] not in ("root", "0")
    assert STEPS.index("\nUSER") > STEPS.rindex("\nRUN")
    [volume] = steps("VOLUME")
    assert f"PANEL_FIT_DATA={volume}" in STEPS


def test_what_is_left_out_of_the_container_is_not_copied_into_it() -> None:
    kept = (DEPLOY / "Containerfile.dockerignore").read_text(encoding="utf-8").splitlines()
    copied = [name.removeprefix("./") for step in steps("COPY") for name in step.split()[:-1]]
    assert kept[0] == "*"
    assert all(f"!{name.split('/')[0]}" in kept for name in copied)


def test_the_list_of_what_speaks_to_postgresql_agrees_with_the_lists_of_everything() -> None:
    everything = (ROOT / "requirements-test.txt").read_text(encoding="utf-8")
    pinned = re.findall(r"^([\w.-]+==\S+)", (DEPLOY / "postgres.txt").read_text(encoding="utf-8"), re.MULTILINE)
    assert any(one.startswith("psycopg==") for one in pinned)
    assert [one for one in pinned if f"{one} " not in everything and not one.startswith("tzdata")] == []


def test_every_setting_that_the_container_is_given_is_one_of_ours(services: dict[str, Any]) -> None:
    ours = {f"{PREFIX}{name.upper()}" for name in Settings.model_fields}
    assert set(re.findall(rf"\b{PREFIX}[A-Z_]+(?==)", STEPS)) <= ours
    assert variables(services["app"]["environment"]) <= ours
    assert "DATABASE_URL" in services["app"]["environment"]


def test_the_health_of_the_app_is_asked_where_it_tells(services: dict[str, Any]) -> None:
    assert {"/health", "/ready"} == {route.path for route in health.router.routes}  # type: ignore[attr-defined]
    [check] = re.findall(r"^HEALTHCHECK.*$", STEPS, re.MULTILINE)
    assert READY in check
    assert READY in " ".join(services["app"]["healthcheck"]["test"])
    assert "PANEL_FIT_PORT=8000" in STEPS
    assert steps("EXPOSE") == ["8000"]
    hosts = services["app"]["environment"]["PANEL_FIT_HOSTS"]
    assert "127.0.0.1" in hosts


def test_the_app_waits_for_the_database_and_both_keep_their_data(services: dict[str, Any]) -> None:
    assert set(services) == {"app", "database"}
    assert services["app"]["depends_on"] == {"database": {"condition": "service_healthy"}}
    assert services["database"]["healthcheck"]["test"]
    volumes = yaml.safe_load((DEPLOY / "compose.yaml").read_text(encoding="utf-8"))["volumes"]
    used = {one.split(":")[0] for service in services.values() for one in service["volumes"]}
    assert used == set(volumes)


def test_the_app_is_built_from_the_files_beside_it(services: dict[str, Any]) -> None:
    build = services["app"]["build"]
    context = (DEPLOY / build["context"]).resolve()
    assert context == ROOT
    assert context / build["dockerfile"] == DEPLOY / "Containerfile"


def test_nothing_but_this_machine_reaches_the_app_and_nothing_the_database(services: dict[str, Any]) -> None:
    assert all(port.startswith("127.0.0.1:") for port in services["app"]["ports"])
    assert "ports" not in services["database"]


def test_no_secret_has_a_value_here(services: dict[str, Any]) -> None:
    environments = [service["environment"] for service in services.values()]
    secrets = [
        value
        for environment in environments
        for name, value in environment.items()
        if re.search("PASS|SECRET|DATABASE_URL", name)
    ]
    assert len(secrets) == 4
    assert all(":?" in value for value in secrets)


def test_no_registry_is_named(services: dict[str, Any]) -> None:
    images = [*steps("FROM"), *(service["image"] for service in services.values() if "image" in service)]
    assert images == ["python:3.11-slim", "postgres:17"]
