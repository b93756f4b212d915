"""Settings: what cannot be used is named, all of it at once, with what would be right."""

from pathlib import Path

import pytest

from hangworthy.settings import Settings, SettingsError, processors, settings_from


@pytest.mark.parametrize(
    ("name", "given", "sentence"),
    [
        ("PORT", "abc", "HANGWORTHY_PORT must be a whole number from 0 to 65535, such as 8470; “abc” was given"),
        ("PORT", "65536", "such as 8470; “65536” was given"),
        ("PORT", "", "such as 8470; it is empty"),
        ("HOST", "", "HANGWORTHY_HOST must be an address of this computer, such as 127.0.0.1"),
        ("LOAD_SECONDS", "nan", "a number of seconds above 0"),
        ("LOAD_SECONDS", "-1", "a number of seconds above 0"),
        ("LEASE_SECONDS", "inf", "a number of seconds above 0"),
        ("BATCH_PROCESSES", "-1", "HANGWORTHY_BATCH_PROCESSES must be a whole number of processes from 0 to 64, such as 2; “-1” was given"),
        ("BATCH_PROCESSES", "65", "from 0 to 64"),
        ("MAX_BODY_BYTES", "0", "a whole number of bytes from 1"),
        ("MAX_BODY_BYTES", "2.5", "a whole number of bytes from 1"),
        ("ON_FAULT", "stop", "HANGWORTHY_ON_FAULT must be refuse or report"),
        ("LOG_LEVEL", "loud", "HANGWORTHY_LOG_LEVEL must be debug, info, warning or error"),
        ("DATABASE", "", "HANGWORTHY_DATABASE must be a database's URL"),
        ("CORS_ORIGINS", "https://form.example, https://other.example/apply", "an origin has no path and no name in it"),
        ("CORS_ORIGINS", "https://Form.example", "write https://form.example in the place of “https://Form.example”"),
        ("CORS_ORIGINS", "form.example", "is no origin"),
        ("TRUSTED_PROXIES", "10.0.0.0/99", "must name addresses or networks"),
        ("PROT", "8470", "HANGWORTHY_PROT is no setting; there are: venues"),
    ],
)
def test_what_cannot_be_used_is_named_with_what_would_be_right(name: str, given: str, sentence: str) -> None:
    with pytest.raises(SettingsError) as raised:
        settings_from({f"HANGWORTHY_{name}": given})
    assert sentence in str(raised.value)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(SettingsError) as raised:
        settings_from({"HANGWORTHY_PORT": "x", "HANGWORTHY_ON_FAULT": "x", "HANGWORTHY_HOSTS": "x", "PORT": "x"})
    assert [line.split(" ")[0] for line in str(raised.value).split("\n")] == ["HANGWORTHY_HOSTS", "HANGWORTHY_ON_FAULT", "HANGWORTHY_PORT"]


@pytest.mark.parametrize(("processors", "processes"), [(1, 0), (2, 2), (100, 64)])
def test_each_processor_has_a_process_unless_it_is_the_only_one(processors: int, processes: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hangworthy.settings.processors", lambda: processors)
    assert Settings().processes == processes
    assert settings_from({"HANGWORTHY_BATCH_PROCESSES": "3"}).processes == 3
    assert settings_from({"HANGWORTHY_BATCH_PROCESSES": "0"}).processes == 0


@pytest.mark.parametrize(
    ("told", "count"), [("max 100000\n", 8), ("250000 100000\n", 2), ("50000 100000\n", 1), ("1600000 100000\n", 8), ("", 8), (None, 8)]
)
def test_a_containers_quota_counts_where_it_is_less(told: str | None, count: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hangworthy.settings.os.sched_getaffinity", lambda _: set(range(8)), raising=False)
    if told is not None:
        (tmp_path / "cpu.max").write_text(told)
    assert processors(tmp_path / "cpu.max") == count


def test_what_can_be_used_is_read() -> None:
    assert settings_from({"PATH": "/bin"}) == Settings()
    stated = settings_from(
        {
            "HANGWORTHY_PORT": "0",
            "HANGWORTHY_LOAD_SECONDS": "2.5",
            "HANGWORTHY_VENUES": "a.toml:b.toml",
            "HANGWORTHY_CORS_ORIGINS": "*, https://form.example",
            "HANGWORTHY_PACKS": "canvas, paper,",
            "HANGWORTHY_DEFAULT_VENUE": "loft",
            "HANGWORTHY_KEY": "",
        }
    )
    assert (stated.port, stated.load_seconds, stated.venues) == (0, 2.5, (Path("a.toml"), Path("b.toml")))
    assert (stated.cors_origins, stated.packs, stated.default_venue) == (("*", "https://form.example"), ("canvas", "paper"), "loft")
