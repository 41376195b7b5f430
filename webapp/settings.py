"""How a server is set up: where it listens and where it keeps its data."""

from pathlib import Path

from platformdirs import user_data_path
from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict

from movement.hygrometer import MOST_BYTES

APP_NAME = "seasonal-panel-fit"


class Settings(BaseSettings):
    """Settings from the environment (prefix ``PANEL_FIT_``); ``python -m webapp`` sets them from its options."""

    model_config = SettingsConfigDict(env_prefix="PANEL_FIT_", extra="ignore")

    host: str = "127.0.0.1"
    port: int = Field(default=8000, ge=0, le=65535)
    data: Path = Field(default_factory=lambda: user_data_path(APP_NAME))
    database_url: str = ""
    body_limit: int = Field(default=20_000_000, ge=1_000)
    """A request body larger than this is refused [bytes]."""
    upload_limit: int = Field(default=MOST_BYTES + 1_000_000, ge=1_000)
    """A request that brings a log or a weather file may be as large as this [bytes]."""
    hosts: str = ""
    """The names that the server answers to, parted by commas; empty for any."""

    @property
    def database(self) -> str:
        """The database's URL: as given, else the SQLite file in the data folder."""
        return self.database_url or f"sqlite:///{self.data / 'seasonal-panel-fit.sqlite3'}"

    @property
    def uploads(self) -> Path:
        """The folder of the files that were sent in to be looked at and are not kept."""
        return self.data / "uploads"

    @property
    def host_names(self) -> tuple[str, ...]:
        """The names that the server answers to; none for any."""
        return tuple(name.strip().lower() for name in self.hosts.split(",") if name.strip())
