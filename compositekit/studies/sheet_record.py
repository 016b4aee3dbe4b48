"""Sections of the build sheet that weigh it up: the verdict, all checks, decisions, guesses, cautions, signatures."""

from __future__ import annotations

from ..part.decision import state
from ..units import say
from .sheet import Blanks, Items, Section, Table, Text
from .trial_part import missing_trial

STOP = "DO NOT BUILD YET"
DEFER = ("This sheet gathers figures for choosing and building. It is not an approval: where people stand on, travel in or shelter under the "
         "part, local codes and licensed practice come first.")
INVENTED = "This part is invented, to try the pages with. Its loads and trials are not those of a part of yours."
SIGNATURES = ("Figures checked against the data sheets by, date", "Layup checked by, date", "Leak test passed, mbar and minutes",
              "Infused by, date", "Weighed after trimming, kg", "Checked and released by, date")


def opening(part, catalogue, checks, not_computed, sentence) -> Section:
    """The verdict, in large words where the part must not be built yet."""
    said = [Text(_stale_words(part, catalogue), loud=True)] if _stale(part, catalogue) else []
    untried = missing_trial(part) if part.trials else "No trial panel is recorded: make one before the part."
    said += [Text(untried, loud=True)] if untried else []
    said += [Text(INVENTED)] if part.invented else []
    failed = [check for _, check in checks if not check.passed]
    faults = Items(tuple(f"Not computed, {study.name}: {study.fault}" for study in not_computed))
    if not failed and not not_computed:
        return Section("verdict", "Verdict", (Text(f"{sentence}."), *said, Text(DEFER)))
    loud = [f"{_count(len(failed), 'check fails', 'checks fail')}"] if failed else []
    loud += [f"{_count(len(not_computed), 'study gave', 'studies gave')} no answer"] if not_computed else []
    worst_first = sorted(failed, key=lambda check: check.reserve)
    blocks = [Text(f"{STOP}: {' and '.join(loud)}.", loud=True), Text(f"{sentence}.")]
    if failed:
        blocks.append(Items(tuple(check.sentence() + (f". To mend it: {check.remedy}." if check.remedy else ".") for check in worst_first)))
    return Section("verdict", "Verdict", (*blocks, *([faults] if not_computed else []), *said))


def _count(number, one, many):
    return f"{number} {one if number == 1 else many}"


def all_checks(part, checks, not_computed) -> Section:
    """Every check of every study in one table, the failing ones marked in words."""
    rows = tuple((check.what, say(check.value, f"{check.limit.units}"), f"{check.sense} {say(check.limit)}", f"{check.margin:.0%}", check.verdict,
                  f"{check.source} [{place}]") for place, check in checks)
    lost = tuple(f"Not computed, {study.name}: {study.fault}" for study in not_computed)
    lost += tuple(f"No load of the brief stands on zone {zone}: nothing was sized there." for zone in part.layup if zone not in part.structural_zones)
    return Section("checks", "All checks", (
        Table("What was checked, against what", ("what", "found", "limit", "in hand", "verdict", "limit from [page]"), rows, figures=(1, 2, 3)),
        *([Items(lost)] if lost else [])))


def decisions(part, catalogue) -> Section:
    """Each decision with its reason, and whether it still stands."""
    if not part.decisions:
        return Section("decisions", "Decisions", (Text("No decision is recorded in the part file yet: pages 00 to 07 have a box for it."),))
    rows = tuple((decision.subject, decision.choice, decision.reason, f"{decision.who}, {decision.when}",
                  state(decision, part, catalogue)) for decision in part.decisions)
    return Section("decisions", "Decisions", (
        Text(_stale_words(part, catalogue) or "Every decision stands, or was replaced by a later one."), Table("What was decided, why and by whom", ("subject", "choice", "reason", "who and when", "stands?"), rows)))


def _stale(part, catalogue):
    return [decision for decision in part.decisions if state(decision, part, catalogue).startswith("STALE")]


def _stale_words(part, catalogue):
    stale = len(_stale(part, catalogue))
    return f"{_count(stale, 'decision is', 'decisions are')} STALE: an input has changed since. Look at that page again before building." if stale else ""


def guessed(guesses) -> Section:
    """Everything remembered or judged, so that somebody can measure it."""
    return Section("guesses", "Remembered or judged, not measured", (
        Text("Each line is a figure that nobody measured for this part. Replace it from your own data sheets and trials where it matters."),
        Items(tuple(guesses))))


def cautions(said) -> Section:
    """Every caution once, and the deference to codes last."""
    return Section("cautions", "Take care", (Items((*said, DEFER), caution=True),))


def signatures() -> Section:
    """Lines for pen and paper."""
    return Section("signatures", "Signed on paper", (Blanks(SIGNATURES),))
