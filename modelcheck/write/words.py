"""Every text that the reports share, in one place."""

from __future__ import annotations

CAUTIONS = (
    "This aids a review and does not replace it: the adopted local code and the authority having"
    " jurisdiction govern, and a licensed person decides.",
    "Figures listed as not checked against the code book must be read there before anyone relies"
    " on them.",
)

OUTCOME_WORDS = {
    "fail": "fail",
    "needs-input": "needs input",
    "pass": "pass",
    "none": "no check",
}
CODE_NAMES = {"cec": "Canadian Electrical Code", "nec": "National Electrical Code"}
UNIT_NAMES = {"mm": "millimetres", "in": "inches"}
BASIS_NAMES = {"metric": "metric designators", "inch": "trade sizes in inches"}

NOTHING_TO_CHECK = (
    "There is nothing to check: no conduit and no pull or junction box was found. If there should"
    " be some, name their classes under [select] in the settings."
)
HEAD = "{code} {edition}, sizes by {basis}, results in {units}"
INPUT = "{model} ({schema})"
BOXES_TITLE, BOX_COLUMNS = "Boxes", ("", "Box", "Entries", "Decided by", "Needs", "Has", "Working")
RUNS_TITLE = "Runs between pull points"
RUN_COLUMNS = ("", "Run", "From", "To", "Raceway", "Length", "Limit", "Bends", "Working")
OPEN_ROWS_TITLE = "What to see to"
CHECK = "Check"  # heading of the names of checks, which are never parted
COUNTS_TITLE, COUNTS_COLUMNS = "Rows by check", (CHECK, "Fail", "Needs input", "Pass")
UNCHECKED_TITLE = "Figures not checked against the code book:"
NOT_UNDERSTOOD = "Not understood: {count} of the elements ({reasons}); summary.json names each."
MORE_ROWS = "and {count} more in {file}"
EACH_BOX = "and two such as {example} for each box"
NOT_DRAWN = "Not drawn, as no conduit enters: {count} of the boxes."
ACCEPTED = "Accepted: {count} of the rows that fail; they still fail."
STALE_TITLE = "Acceptances that don't hold:"
CHANGES_HEAD = "Since {since}: {counts}"
CHANGES_TITLE = "What changed"
CHANGES_COLUMNS = ("", "Subject", CHECK, "Before", "Now", "Why")
CHANGE_WORDS = {
    "new": "new",
    "changed-verdict": "other verdict",
    "still-open": "still open",
    "moved": "moved",
    "gone": "gone",
    "same": "as before",
}
NEW_FAILS = "{count} of the rows fail and didn't fail before."
PROPOSED = ", as proposed"
NOT_PROPOSED = "No proposal for {box}: {why}"
NOTHING_DRAWN = "There is nothing to draw."
WRITTEN = "Results are in {folder}: {files}"
TRACED_COLUMNS = ("Run", "From", "To", "Raceway", "Length", "Bends", "Elements", "Model")
NO_RUNS = "No run was found."
ASSUMED = "assumed:"
WHY, FORMULA, EXAMPLE, DISPUTED = "Why:", "Formula:", "Example,", "Disputed:"
ROWS_TITLE = "Rows behind it"
ROWS_COLUMNS = ("Code", "Clause", "Figure", "Obtained", "Source")
READ_TITLE = "What the elements were taken for"
READ_COLUMNS = ("Taken for", "Class", "By", "Count", "Ends from", "Size from", "Cover from")
REFUSED_TITLE = "Not understood, and left out"
PARTLY_TITLE = "Understood, but not in everything"
SHORTFALL_COLUMNS = ("Count", "Class", "Why", "What would help", "For instance")
READ_COUNTS = "Elements understood: {understood}; not understood: {refused}."
BATCH_TITLE = "Projects"
BATCH_COLUMNS = ("", "Project", "Models", "Fail", "Needs input", "Pass", "")
BROKEN, EARLIER = "not checked", "finished before"
BATCH_COUNTS = "Projects checked: {checked}; not checked: {broken}."
BATCH_WRITTEN = "Results are in {folder}: {file}, and a folder for each project."
NOT_KNOWN = "not known"
REQUIREMENTS_WRITTEN = (
    "{file} says what a model must contain for this check; any IDS 1.0 checker runs it."
)
DRAFT_WRITTEN = (
    "{file} holds {count} likely pulls, a guess by sizes, systems and places: correct it, fill in"
    " the conductors, and give it to check with --pulls."
)
NOTHING_DRAFTED = "No conduit enters a box: there is no pull to draft, and no file was written."
