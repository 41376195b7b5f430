"""How a server is set up: where it listens and where it keeps its data."""

from pathlib import Path

from platformdirs import user_data_path
from pydantic import AliasChoices, Field, field_validator
from pydantic_settings import BaseSettings, SettingsConfigDict

from movement.hygrometer import MOST_BYTES
from webapp.database import address
from webapp.passphrase import is_hash
from webapp.secret import LEAST

APP_NAME = "seasonal-panel-fit"
PREFIX = "PANEL_FIT_"
MOST_WORKERS = 64


class Settings(BaseSettings):
    """Settings from the environment (prefix ``PANEL_FIT_``); ``python -m webapp`` sets them from its options."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, extra="ignore", validate_by_name=True)

    host: str = "127.0.0.1"
    port: int = Field(default=8000, ge=0, le=65535)
    data: Path = Field(default_factory=lambda: user_data_path(APP_NAME))
    database_url: str = Field(default="", validation_alias=AliasChoices(f"{PREFIX}DATABASE_URL", "DATABASE_URL"))
    """The database's address, also under the plain name that hosting services use; empty for SQLite in the folder."""
    workers: int = Field(default=1, ge=1, le=MOST_WORKERS)
    """Processes that answer."""
    body_limit: int = Field(default=20_000_000, ge=1_000)
    """A request body larger than this is refused [bytes]."""
    upload_limit: int = Field(default=MOST_BYTES + 1_000_000, ge=1_000)
    """A request that brings a log or a weather file may be as large as this [bytes]."""
    hosts: str = ""
    """The names that the server answers to, parted by commas; empty for any."""

    passphrase_hash: str = Field(default="", repr=False)
    """The Argon2 hash of the passphrase that lets people in; empty for the one in the data folder, if there is one."""
    secret: str = Field(default="", repr=False)
    """What cookies are signed with; empty for a random one that is kept in the data folder."""

    @field_validator("passphrase_hash")
    @classmethod
    def _a_hash(cls, text: str) -> str:
        if text and not is_hash(text):
            raise ValueError("it is no Argon2 hash; python -m webapp passphrase --print makes one")
        return text

    @field_validator("secret")
    @classmethod
    def _secret_enough(cls, text: str) -> str:
        if text and len(text) < LEAST:
            raise ValueError(f"it has fewer than {LEAST} characters")
        return text

    @field_validator("database_url")
    @classmethod
    def _usable(cls, text: str) -> str:
        return address(text).render_as_string(hide_password=False) if text else ""

    @property
    def database(self) -> str:
        """The database's URL: as given, else the SQLite file in the data folder."""
        return self.database_url or f"sqlite:///{self.database_file}"

    @property
    def database_file(self) -> Path | None:
        """The SQLite file in the data folder; None where another database is given."""
        return None if self.database_url else self.data / "seasonal-panel-fit.sqlite3"

    @property
    def uploads(self) -> Path:
        """The folder of the files that were sent in to be looked at and are not kept."""
        return self.data / "uploads"

    @property
    def host_names(self) -> tuple[str, ...]:
        """The names that the server answers to; none for any."""
        return tuple(name.strip().lower() for name in self.hosts.split(",") if name.strip())
