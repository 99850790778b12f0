"""What a topic and its comments say."""

from __future__ import annotations

from collections.abc import Iterable

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import ElementRef
from modelcheck.model.finding import Finding
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.write import words
from modelcheck.write.bcf_topics import Topic, is_guid
from modelcheck.write.csv_tables import number
from modelcheck.write.terminal import amount

AUTHOR = "modelcheck"
ISSUE, REQUEST = "Issue", "Request"  # something fails; something is to be told
OPEN, CLOSED = "Open", "Closed"  # closed: somebody answers for every row


def topic_type(topic: Topic) -> str:
    """Type of a topic, one of those that the file lists."""
    return ISSUE if topic.is_failed else REQUEST


def topic_status(topic: Topic) -> str:
    """Status of a topic, one of those that the file lists."""
    return CLOSED if topic.is_accepted else OPEN


def labels(topics: Iterable[Topic]) -> tuple[str, ...]:
    """Names of the checks of `topics`, each once, sorted."""
    return tuple(sorted({each.check for topic in topics for each in topic.findings}))


def title(topic: Topic) -> str:
    """Name of the subject and its checks."""
    return f"{topic.name}: {', '.join(labels([topic]))}"


def description(topic: Topic, *, is_dated: bool) -> str:
    """Where the subject is, the arithmetic of its rows, and the cautions."""
    ref = topic.subject
    lines = [
        f"{topic.name} ({ref.ifc_class}, GlobalId {ref.guid}) in {ref.model}.",
        *place_lines(topic.findings[0].where),
        *(_row_line(each) for each in topic.findings),
        *words.CAUTIONS,
    ]
    if topic.is_accepted:
        lines.insert(1, "Accepted as it is: closed, and no pass. Each comment says by whom.")
    if not is_dated:
        lines.append("The model bears no date: that of this topic stands for none.")
    return "\n".join(lines)


def comment(finding: Finding) -> str:
    """What one row says, with what is needed to redo it."""
    lines = [
        f"{finding.check}: {words.OUTCOME_WORDS[finding.outcome]}. {_sentence(finding.message)}",
        f"{amounts(finding)}.",
        *([finding.working] if finding.working else []),
        f"{words.CODE_NAMES[finding.code]} {finding.edition}, {finding.clause}",
        *(f"{words.ASSUMED} {text}" for text in finding.assumptions),
    ]
    if finding.accepted:
        lines.append(accepted_text(finding.accepted))
    if unnamed := [ref for ref in finding.elements if not is_guid(ref.guid)]:
        listed = ", ".join(_told(ref) for ref in unnamed)
        lines.append(f"Not among the selected, for want of a GlobalId that BCF can hold: {listed}.")
    lines.append(f"Finding {finding.id}")
    return "\n".join(lines)


def amounts(finding: Finding) -> str:
    """What one row requires and what there is."""
    needs, has = (
        amount(each, finding.unit) or words.NOT_KNOWN
        for each in (finding.required, finding.provided)
    )
    return f"required {needs}, provided {has}"


def accepted_text(accepted: Acceptance) -> str:
    """Who accepted a failing row, when, why, until when and at which numbers."""
    until = f", until {accepted.until}" if accepted.until else ""
    needs, has = (amount(each, accepted.unit) for each in (accepted.required, accepted.provided))
    numbers = f" at required {needs}, provided {has}" if needs and has else ""
    return f"Accepted by {accepted.by} on {accepted.on}{until}{numbers}: {accepted.why}"


def place_lines(where: Whereabouts) -> list[str]:
    """Say where people find an element, in one line; none if the model doesn't tell."""
    height = number(where.height_m, 2)
    told = [
        f"{name} {text}"
        for name, text in (
            ("storey", where.storey),
            ("space", where.space),
            ("grid", where.grid),
            ("height above the storey", f"{height} m" if height else ""),
            ("system", where.system),
            ("trade", where.trade),
        )
        if text
    ]
    return [f"Where: {', '.join(told)}."] if told else []


def _row_line(finding: Finding) -> str:
    worked = f" ({finding.working})" if finding.working else ""
    return f"{finding.check}: {amounts(finding)}{worked}."


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _told(ref: ElementRef) -> str:
    return f"{ref.guid} ({ref.name})" if ref.name else ref.guid
