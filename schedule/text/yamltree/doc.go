// Package yamltree reads the YAML of a plan as a tree in which every value keeps its
// place, and refuses what a plan has no use for.
//
// It is a thin layer over the nodes of yaml.v3. Scalars are handed on as their
// text, never as what YAML makes of them: no, 08:30, 010 and .inf are four texts
// here, and the packages above read them by the plan's own grammar.
//
// Refused, each with its place (section numbers of YAML 1.2.2):
//
//   - anchors, aliases and merge keys (3.2.2.2, 7.1): a plan is small enough to say
//     things where they count, and an alias can make a short file endless
//   - explicit tags (6.8.2), block scalars (8.1), keys that are not plain words
//   - the same key twice in one mapping, which section 3.2.1.3 forbids but the
//     library lets pass when it builds nodes
//   - a second document (9.2), an empty file, more than 1 MiB, more than 32 levels
//   - control and direction-changing characters in any key or value, however they are
//     written (package visible)
//   - text that is not UTF-8, control characters, and the line separators U+0085,
//     U+2028 and U+2029, over which readers of YAML 1.1 and 1.2 disagree (5.4)
//
// Syntax errors of the library come out as problems with line and column in the
// words of a plan's author; where the library tells no column, the first character
// of the line stands for it.
package yamltree
