"""One way through: exactly one step leaves the start, and a node is left exactly when it is
entered, so that the chosen steps form a single way from the first moment to the last."""

from solver.model import Draft


def add(draft: Draft) -> None:
    """Adds the family to the draft."""
    model = draft.model
    for node in draft.kept:
        into = [draft.step[edge] for edge in draft.kept.in_edges(node)]
        out = [draft.step[edge] for edge in draft.kept.out_edges(node)]
        if not into:
            model.add_exactly_one(out)
        elif node[0] < draft.last:
            model.add(sum(into) == sum(out))
