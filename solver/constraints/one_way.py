"""One way through: exactly one step leaves the start, and a node is left exactly when it is
entered, so that the chosen steps form a single way from the first moment to the last.

Public: add.
"""

from solver.model import Draft, Linear
from solver.prune import START


def add(draft: Draft) -> Linear:
    """Adds the family to the draft; it has no price."""
    model = draft.model
    for node in draft.kept:
        into = [draft.step[edge] for edge in draft.kept.in_edges(node)]
        out = [draft.step[edge] for edge in draft.kept.out_edges(node)]
        if node == START:
            model.add_exactly_one(out)
        elif node[0] < draft.last:
            model.add(sum(into) == sum(out))
    return 0
