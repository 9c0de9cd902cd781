"""The maximum flow of one network with SciPy, timed: what the plan benchmark holds itself to.

    python flow.py EDGES NODES START GOAL

EDGES is a file of 32-bit integers, little-endian, three an edge: from, to, capacity. Prints the flow,
the milliseconds that the matrix took, and those of the flow alone.
"""

import sys
import time

import numpy
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import maximum_flow


def main(edges: str, nodes: int, start: int, goal: int) -> None:
    table = numpy.fromfile(edges, dtype="<i4").reshape(-1, 3)
    began = time.perf_counter()
    capacities = coo_matrix((table[:, 2], (table[:, 0], table[:, 1])), shape=(nodes, nodes)).tocsr()
    made = time.perf_counter()
    flow = maximum_flow(capacities, start, goal, method="dinic").flow_value
    done = time.perf_counter()
    print(flow, (made - began) * 1e3, (done - made) * 1e3)


if __name__ == "__main__":
    main(sys.argv[1], *(int(word) for word in sys.argv[2:]))
