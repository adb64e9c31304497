"""Makes networks.tsv: random networks of activities with the answers of networkx (PyPI), an independent library.

Run once: python3 tests/data/networks.py > tests/data/networks.tsv
Each line: durations, arrows from-to, length of the critical path, earliest starts, latest starts.
"""

import random

import networkx as nx

random.seed(20261125)
print(f"# made with networkx {nx.__version__}")
for _ in range(60):
    count = random.randint(1, 14)
    duration = [random.randint(0, 9) for _ in range(count)]
    arrows = [(a, b) for a in range(count) for b in range(a + 1, count) if random.random() < 0.3]
    # numbers are shuffled, so that the order of the list is not the order of work
    name = list(range(count))
    random.shuffle(name)
    arrows = [(name[a], name[b]) for a, b in arrows]
    shuffled = [0] * count
    for i, d in enumerate(duration):
        shuffled[name[i]] = d
    duration = shuffled
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    # an arrow weighs what the activity at its start lasts; one more node ends all
    for a, b in arrows:
        graph.add_edge(a, b, weight=duration[a])
    for a in range(count):
        graph.add_edge(a, "end", weight=duration[a])
    length = nx.dag_longest_path_length(graph)
    start = {n: 0 for n in graph}
    for n in nx.topological_sort(graph):
        for p in graph.predecessors(n):
            start[n] = max(start[n], start[p] + graph[p][n]["weight"])
    assert start["end"] == length
    latest = {n: length for n in graph}
    for n in reversed(list(nx.topological_sort(graph))):
        for s in graph.successors(n):
            latest[n] = min(latest[n], latest[s] - graph[n][s]["weight"])
    join = lambda numbers: " ".join(map(str, numbers))
    print(
        join(duration),
        " ".join(f"{a}-{b}" for a, b in arrows),
        length,
        join(start[n] for n in range(count)),
        join(latest[n] for n in range(count)),
        sep="\t",
    )
