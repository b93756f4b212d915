"""The image's files: small context, nobody in particular, nothing that could drift from what is installed."""

import re
import tomllib
from fnmatch import fnmatch
from importlib.metadata import requires
from pathlib import Path

import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
DOCKER = ROOT / "docker"
SERVICES = yaml.safe_load((DOCKER / "compose.yaml").read_text())["services"]
OURS = ("service", "replica-1", "replica-2")


def pinned() -> dict[str, str]:
    lines = [line for line in (DOCKER / "constraints.txt").read_text().splitlines() if line and not line.startswith("#")]
    pairs = [line.split("==") for line in lines]
    assert all(len(pair) == 2 for pair in pairs), "constraints are name==version, and name no index"
    return {canonicalize_name(name): version for name, version in pairs}


def instructions() -> list[str]:
    text = re.sub(r"\\\n", " ", (DOCKER / "Dockerfile").read_text())
    return [line for line in text.splitlines() if line and not line.startswith("#")]


def test_what_the_service_needs_is_pinned_within_its_own_ranges() -> None:
    pins = pinned()
    needed = [Requirement(text) for text in requires("hangworthy") or () if "extra ==" not in text or 'extra == "pdf"' in text]
    assert needed
    for one in needed:
        assert pins[canonicalize_name(one.name)] in one.specifier, one
    assert list(pins) == sorted(pins)


def test_the_image_holds_no_compiler_no_tests_and_runs_as_nobody_in_particular() -> None:
    lines = instructions()
    last = lines[max(place for place, line in enumerate(lines) if line.startswith("FROM")) :]
    assert not [line for line in last if re.search(r"\b(gcc|build-essential|make)\b", line)]
    assert [line.split()[1] for line in last if line.startswith("USER")] == ["10001"]
    assert any(line.startswith("HEALTHCHECK") for line in last)
    copied = [line for line in lines if line.startswith("COPY") and "--from" not in line]
    assert copied
    assert not any("tests" in line for line in copied)


def test_all_that_is_copied_is_in_the_context_and_little_else() -> None:
    ignored = (ROOT / ".dockerignore").read_text().splitlines()
    kept = {line[1:] for line in ignored if line.startswith("!")}
    assert "*" in ignored
    for line in instructions():
        if line.startswith("COPY") and "--from" not in line:
            for source in line.split()[1:-1]:
                assert source in kept, source
                assert (ROOT / source).exists(), source
    patterns = [line.removeprefix("**/") for line in ignored if line.startswith("**/")]
    files = [path for name in kept for path in [ROOT / name, *(ROOT / name).rglob("*")] if path.is_file()]
    sent = [path for path in files if not any(fnmatch(part, pattern) for part in path.parts for pattern in patterns)]
    assert sum(path.stat().st_size for path in sent) < 6_000_000


def test_every_package_of_the_project_is_in_the_context() -> None:
    found = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["hatch"]["build"]["dev-mode-dirs"]
    kept = (ROOT / ".dockerignore").read_text().splitlines()
    assert all(f"!{where}" in kept for where in found)


def test_the_services_write_only_where_their_database_is() -> None:
    for name in OURS:
        one = SERVICES[name]
        assert one["read_only"] is True
        assert one["cap_drop"] == ["ALL"]
        assert "no-new-privileges:true" in one["security_opt"]
        assert one["stop_grace_period"] == "40s"  # longer than the service takes to finish what was begun


def test_by_default_there_is_one_service_on_sqlite_and_the_profile_adds_two_replicas_behind_a_proxy() -> None:
    assert [name for name, one in SERVICES.items() if "profiles" not in one] == ["service"]
    assert "environment" not in SERVICES["service"]
    urls = {SERVICES[name]["environment"]["HANGWORTHY_DATABASE"] for name in ("replica-1", "replica-2")}
    assert len(urls) == 1
    assert urls.pop().startswith("postgresql://")
    proxy = (DOCKER / "proxy.conf").read_text()
    assert re.findall(r"server (replica-\d):8470;", proxy) == ["replica-1", "replica-2"]


def test_the_replicas_trust_the_proxy_to_say_who_asks_and_nobody_else() -> None:
    subnet = yaml.safe_load((DOCKER / "compose.yaml").read_text())["networks"]["default"]["ipam"]["config"][0]["subnet"]
    assert {SERVICES[name]["environment"]["HANGWORTHY_TRUSTED_PROXIES"] for name in ("replica-1", "replica-2")} == {subnet}
    assert "proxy_set_header X-Forwarded-For $remote_addr;" in (DOCKER / "proxy.conf").read_text()


def test_nothing_is_published_beyond_this_computer() -> None:
    ports = [port for one in SERVICES.values() for port in one.get("ports", ())]
    assert ports
    assert all(port.startswith("127.0.0.1:") for port in ports)
