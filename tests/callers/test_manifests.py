"""What an operator applies: Kubernetes objects and compose files, by their published schemas."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import kubernetes_validate
import pytest
import yaml

from service import __version__
from service.api.settings import Settings
from tests.callers.commands import said
from tests.callers.programs import ROOT

FOLDERS = ("docker/kubernetes", "docker/cluster/kubernetes")
COMPOSED = ("docker/compose.yaml", "docker/cluster/compose.yaml")
OLDEST = "1.29"
"""The oldest Kubernetes for which they are held good; the newest is the validator's newest."""


def objects(folder: str) -> list[dict[str, Any]]:
    """What kustomize makes of a folder."""
    return list(yaml.safe_load_all(said("kubectl", "kustomize", folder)))


def pods(folder: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """The templates of pods, with the name of what makes them."""
    for one in objects(folder):
        if "template" in one.get("spec", {}):
            yield one["metadata"]["name"], one["spec"]["template"]


@pytest.mark.parametrize("folder", FOLDERS)
@pytest.mark.parametrize("version", [OLDEST, kubernetes_validate.latest_version()])
def test_each_object_is_of_its_published_shape(folder: str, version: str) -> None:
    """And a misspelt one is not, so the check is at work."""
    for one in objects(folder):
        kubernetes_validate.validate(one, version, strict=True)
    with pytest.raises(kubernetes_validate.ValidationError):
        kubernetes_validate.validate({**one, "specs": {}}, version, strict=True)


@pytest.mark.parametrize("folder", FOLDERS)
def test_pods_have_no_right_that_they_do_not_need(folder: str) -> None:
    """What the image is proved to run with: user 10001, a read-only root, no privilege, bounds."""
    for name, template in pods(folder):
        pod = template["spec"]
        assert pod["securityContext"]["runAsUser"] == 10001, name
        assert pod["securityContext"]["runAsNonRoot"] is True
        assert pod["automountServiceAccountToken"] is False
        for container in pod["containers"]:
            rights = container["securityContext"]
            assert rights["readOnlyRootFilesystem"] is True
            assert rights["allowPrivilegeEscalation"] is False
            assert rights["capabilities"] == {"drop": ["ALL"]}
            assert container["resources"]["limits"]["memory"]
            assert container["resources"]["requests"]["cpu"]
            assert container["image"].endswith(f":{__version__}")
            assert "/tmp" in [mount["mountPath"] for mount in container["volumeMounts"]]


@pytest.mark.parametrize("folder", FOLDERS)
def test_whoever_is_selected_is_there(folder: str) -> None:
    """Selectors of services, budgets and policies, references to settings, and ports by name."""
    made = objects(folder)
    labelled = [template["metadata"]["labels"].items() for _, template in pods(folder)]
    names = {(one["kind"], one["metadata"]["name"]) for one in made}
    for one in made:
        spec = one.get("spec", {})
        picked = spec.get("podSelector") or spec.get("selector")
        if picked is not None:
            wanted = picked.get("matchLabels", picked).items()
            assert wanted, one["metadata"]["name"]
            assert any(wanted <= labels for labels in labelled), one["metadata"]["name"]
        if one["kind"] == "HorizontalPodAutoscaler":
            target = spec["scaleTargetRef"]
            assert (target["kind"], target["name"]) in names
    for _, template in pods(folder):
        for container in template["spec"]["containers"]:
            for source in container.get("envFrom", ()):
                assert ("ConfigMap", source["configMapRef"]["name"]) in names


def test_the_service_is_probed_where_it_says_how_it_is() -> None:
    """Ready only where a takeoff can be done; ended only where it no longer speaks at all."""
    ((_, template),) = pods(FOLDERS[0])
    (container,) = template["spec"]["containers"]
    assert container["startupProbe"]["httpGet"]["path"] == "/health/ready"
    assert container["readinessProbe"]["httpGet"]["path"] == "/health/ready"
    assert container["livenessProbe"]["httpGet"]["path"] == "/health/live"
    grace = template["spec"]["terminationGracePeriodSeconds"]
    drain = float(settings(template)["TAKEOFF_DRAIN_SECONDS"])
    longest = Settings.model_fields["deadline_seconds"].default
    assert grace > 5 + drain + longest + 5


def settings(template: dict[str, Any]) -> dict[str, str]:
    """What a pod is set to."""
    (container,) = template["spec"]["containers"]
    name = container["envFrom"][0]["configMapRef"]["name"]
    (found,) = [one for one in objects(FOLDERS[0]) if one["metadata"]["name"] == name]
    data: dict[str, str] = found["data"]
    return data


def test_secrets_are_named_and_never_written() -> None:
    """No object holds one; what is set besides is accepted by the service."""
    ((_, template),) = pods(FOLDERS[0])
    (container,) = template["spec"]["containers"]
    assert {one["kind"] for folder in FOLDERS for one in objects(folder)}.isdisjoint({"Secret"})
    for one in container["env"]:
        assert one["valueFrom"]["secretKeyRef"]["name"] == "takeoff-keys"
    told = {name.removeprefix("TAKEOFF_").lower(): value for name, value in
            settings(template).items()}  # fmt: skip
    assert set(Settings(**told).model_fields_set) == set(told)


@pytest.mark.parametrize("file", COMPOSED)
def test_a_compose_file_is_one(file: str, tmp_path: Path) -> None:
    """By the schema that docker-compose has; a misspelt one is refused."""
    made = yaml.safe_load(said("docker-compose", "--file", file, "config"))
    for service in made["services"].values():
        assert service["read_only"] is True
        assert service["cap_drop"] == ["ALL"]
    spoilt = tmp_path / "compose.yaml"
    spoilt.write_text((ROOT / file).read_text().replace("read_only:", "read_only_root:"))
    with pytest.raises(pytest.fail.Exception, match="read_only_root"):
        said("docker-compose", "--file", str(spoilt), "config")
