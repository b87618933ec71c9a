"""What a shop sets once: screen, theme, sound. Read from ``settings.toml`` in the store. Knows no widget."""

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from bayapp.files.plain_words import findings_of
from bayapp.files.problems import BadFile
from bayapp.files.toml_file import read_toml
from bayapp.job.vehicle import FileModel


class Settings(FileModel):
    """The settings of one wall screen; ``format`` is ``bayapp-settings/1``.

    Attributes:
        screen_diagonal_inch: the visible diagonal, where the screen lies about its size.
        theme: dark for a dim bay, light for a bright one.
        volume: share of the device's full level, 0 to 1.
        spoken: whether calls are spoken as well, where the machine has a speech engine.
    """

    format: Literal["bayapp-settings/1"] = "bayapp-settings/1"
    screen_diagonal_inch: Annotated[float, Field(ge=7, le=100, allow_inf_nan=False)] | None = None
    theme: Literal["dark", "light"] = "dark"
    volume: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] = 1.0
    spoken: bool = False


def load_settings(store: Path) -> Settings:
    """Return the settings of a store; the usual ones where it has no ``settings.toml``.

    Raises:
        BadFile: the file is there but wrong; says where and what would be right.
    """
    path = store / "settings.toml"
    if not path.exists():
        return Settings()
    source = read_toml(path)
    try:
        return Settings.model_validate(source.data)
    except ValidationError as error:
        raise BadFile(findings_of(error, Settings, source)) from error


def save_settings(store: Path, settings: Settings) -> None:
    """Write the settings whole, or not at all."""
    lines = [f"format = {settings.format!r}".replace("'", '"')]
    for key, value in settings.model_dump(exclude={"format"}, exclude_none=True).items():
        shown = (
            str(value).lower() if isinstance(value, bool) else f'"{value}"' if isinstance(value, str) else str(value)
        )
        lines.append(f"{key} = {shown}")
    part = store / "settings.toml.part"
    part.write_text("\n".join(lines) + "\n", encoding="utf-8")
    part.replace(store / "settings.toml")
