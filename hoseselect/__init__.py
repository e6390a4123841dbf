"""Choose bulk hose for auxiliary lines under the bonnet of a road vehicle, and its cut length.

The names of `__all__` are the public face of the package: they stay when modules move. Each is
loaded when it is first asked for, so that `import hoseselect` costs nothing.
"""

from typing import TYPE_CHECKING

__version__ = "0.1.0"

__all__ = [
    "Answer",
    "Catalogue",
    "Finding",
    "HoseselectError",
    "InputError",
    "Job",
    "Verdict",
    "answer_many",
    "check",
    "cut",
    "pick",
    "read_catalogue",
    "read_job",
]

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.application.answer_many import answer_many
    from hoseselect.application.cut import cut_for_hose as cut
    from hoseselect.application.pick import check_hose as check
    from hoseselect.application.pick import pick_hose as pick
    from hoseselect.catalogue.columns import Catalogue
    from hoseselect.catalogue.read import read_catalogue
    from hoseselect.domain.finding import Finding
    from hoseselect.domain.job import Job
    from hoseselect.domain.verdict import Verdict
    from hoseselect.intake.read_job import read_job
    from hoseselect.knowledge.errors import HoseselectError, InputError
else:
    _PLACES = {
        "Answer": "answer.answer:Answer",
        "Catalogue": "catalogue.columns:Catalogue",
        "Finding": "domain.finding:Finding",
        "HoseselectError": "knowledge.errors:HoseselectError",
        "InputError": "knowledge.errors:InputError",
        "Job": "domain.job:Job",
        "Verdict": "domain.verdict:Verdict",
        "answer_many": "application.answer_many:answer_many",
        "check": "application.pick:check_hose",
        "cut": "application.cut:cut_for_hose",
        "pick": "application.pick:pick_hose",
        "read_catalogue": "catalogue.read:read_catalogue",
        "read_job": "intake.read_job:read_job",
    }

    def __getattr__(name: str) -> object:
        """Load a public name when it is first asked for."""
        if name not in _PLACES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        module, _, own_name = _PLACES[name].partition(":")
        value = globals()[name] = getattr(import_module(f"{__name__}.{module}"), own_name)
        return value

    def __dir__() -> list[str]:
        """Return the public names with those that every module has."""
        return sorted({*globals(), *__all__})
