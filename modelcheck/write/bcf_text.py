"""What a topic and its comments say."""

from __future__ import annotations

from collections.abc import Iterable

from modelcheck.model.element import ElementRef
from modelcheck.model.finding import Finding
from modelcheck.write import words
from modelcheck.write.finding_text import accepted_text, amounts_text, outcome_text, place_text
from modelcheck.write.topics import Topic, is_guid

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
    ref, place = topic.subject, place_text(topic.findings[0].where)
    lines = [
        f"{topic.name} ({ref.ifc_class}, GlobalId {ref.guid}) in {ref.model}.",
        *([f"Where: {place}."] if place else []),
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
    told = [each for each in (amounts_text(finding), finding.working) if each]
    lines = [
        f"{finding.check}: {outcome_text(finding)}. {_sentence(finding.message)}",
        *([f"{'; '.join(told)}."] if told else []),
        f"{words.CODE_NAMES[finding.code]} {finding.edition}, {finding.clause}",
        *(f"{words.ASSUMED} {text}" for text in finding.assumptions),
    ]
    if finding.accepted:
        lines.append(accepted_text(finding.accepted))
    refs = dict.fromkeys((finding.subject, *finding.elements))
    if unnamed := [_told(ref) for ref in refs if not is_guid(ref.guid)]:
        listed = ", ".join(unnamed)
        lines.append(f"Not among the selected, for want of a GlobalId that BCF can hold: {listed}.")
    lines.append(f"Finding {finding.id}")
    return "\n".join(lines)


def _row_line(finding: Finding) -> str:
    told = (outcome_text(finding), amounts_text(finding), finding.working)
    return f"{finding.check}: {'; '.join(filter(None, told))}."


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _told(ref: ElementRef) -> str:
    return f"{ref.guid} ({ref.name})" if ref.name else ref.guid
