"""A module imports only from layers above its own, and nothing goes round in circles."""

from __future__ import annotations

import pytest

from source_tree import (
    LAYERS,
    RANK,
    Module,
    code_lines,
    cycles,
    functions,
    graph,
    imports,
    layer_violations,
    modules,
)

REAL = modules()


def tree(**texts: str) -> dict[str, Module]:
    """Return a made source: ``base__units`` is bathybore/base/units.py."""
    names = {"bathybore", *(f"bathybore.{key.split('__')[0]}" for key in texts)}
    made = {name: Module(name, "", is_package=True) for name in names}
    for key, text in texts.items():
        name = "bathybore." + key.replace("__", ".")
        made[name] = Module(name, text)
    return made


def test_every_package_stands_in_a_layer() -> None:
    assert {m.layer for m in REAL.values()} - {""} <= set(RANK)


def test_the_list_is_the_one_of_the_design() -> None:
    order = [name for names in LAYERS for name in names]
    assert len(order) == len(set(order))
    wanted = ["base", "kernels", "data", "model", "operations", "checks", "usecases", "cli"]
    assert [name for name in order if name in wanted] == wanted


def test_no_import_points_down_or_sideways() -> None:
    assert layer_violations(REAL) == []


def test_no_cycles() -> None:
    assert cycles(REAL) == []


def test_kernels_know_base_and_kernels_only() -> None:
    edges = graph(REAL)
    layers = {
        REAL[target].layer
        for name, module in REAL.items()
        if module.layer == "kernels"
        for target in edges[name]
    }
    assert layers <= {"base", "kernels"}


def test_base_knows_nothing_else() -> None:
    edges = graph(REAL)
    for name, module in REAL.items():
        if module.layer == "base":
            assert {REAL[target].layer for target in edges[name]} <= {"base"}, name


def test_faces_ask_use_cases_and_not_the_physics() -> None:
    edges = graph(REAL)
    for name, module in REAL.items():
        if module.layer in ("cli", "web"):
            asked = {REAL[target].layer for target in edges[name]}
            assert "kernels" not in asked, name


def test_the_graph_sees_the_real_imports() -> None:
    edges = graph(REAL)
    assert "bathybore.base.units" in edges["bathybore.base.depth"]
    # a submodule taken from its package is the submodule
    assert "bathybore.data.catalogues" in edges["bathybore.operations.catalogue_pipes"]


@pytest.mark.parametrize(
    "text",
    [
        "from bathybore.model.hole import Hole",
        "import bathybore.model.hole",
        "from bathybore.model import hole",
        "from ..model import hole",
        "from ..model.hole import Hole",
        "def f():\n    from bathybore.model.hole import Hole",
        "if TYPE_CHECKING:\n    from bathybore.model.hole import Hole",
        "import importlib\nimportlib.import_module('bathybore.model.hole')",
    ],
)
def test_every_way_to_import_is_seen(text: str) -> None:
    made = tree(kernels__heat=text, model__hole="")
    assert imports(made["bathybore.kernels.heat"], made) == {"bathybore.model.hole"}
    (told,) = layer_violations(made)
    assert "bathybore.kernels.heat imports bathybore.model.hole" in told
    assert "below" in told


def test_siblings_stay_apart_but_reports_may_draw() -> None:
    drawn = "from bathybore.drawings.hole import picture"
    assert layer_violations(tree(reports__pdf=drawn, drawings__hole="")) == []
    assert layer_violations(tree(storage__file=drawn, drawings__hole="")) != []
    back = tree(drawings__hole="import bathybore.reports.pdf", reports__pdf="")
    assert "beside" in layer_violations(back)[0]


def test_an_unknown_package_is_told() -> None:
    made = tree(helpers__misc="from bathybore.base.units import show", base__units="")
    assert "'helpers' stands in no layer" in layer_violations(made)[0]


def test_a_cycle_through_a_function_is_found() -> None:
    made = tree(
        base__a="import bathybore.base.b",
        base__b="def late():\n    import bathybore.base.c",
        base__c="import bathybore.base.a",
        base__d="import bathybore.base.a",
    )
    assert cycles(made) == [("bathybore.base.a", "bathybore.base.b", "bathybore.base.c")]


def test_code_lines_leave_out_what_is_not_code() -> None:
    text = 'def f(x):\n    """Two\n    lines."""\n\n    # why\n    y = x\n    return y  # so\n'
    made = tree(base__a=text)
    (only,) = functions(made)
    assert (only.name, only.code_lines) == ("f", 3)
    node = made["bathybore.base.a"].tree.body[0]
    assert code_lines(node, text.splitlines()) == 3  # type: ignore[arg-type]
