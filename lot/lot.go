// Package lot judges whether a lot of castings may leave the farm under a named
// rule: which limits and which evidence the rule asks for, what the lot has, and
// what is missing, each line with where the rule says so and whether that text
// was read or is recalled. It evaluates heat records hour by hour, checks the
// words of a label, and does the arithmetic of papers.
//
// Rules are data (internal/source/data/rules): jurisdiction, citation, date,
// limits, evidence, words allowed and refused, how sure we are of the text, and
// when it is due for review. A rule whose text is recalled, or whose review is
// overdue, never answers more than that the lot would be allowed if the text is
// as recalled. All of it is help: the rule's text and the certifier or the
// inspector decide.
//
// It assumes that results were taken from the lot that they stand under, and
// that hours without a reading did not happen. It leaves out genealogy, which is
// package trace's.
//
// The equations are in docs/model/lot.md (Q1 to Q10).
package lot
