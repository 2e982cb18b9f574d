package specs

// ruleException refuses exceptions that except nothing.
//
// A rule that is wrong about one printed figure is answered in
// exceptions/lint.toml, with the reason. When the figure or the rule has
// changed, the exception would hide the next error in its place; so it goes.
// What it says of a book is worked out after all other rules ([Book.Lint]).
//
// Refused: an exception to siblings for a figure that siblings no longer
// complains of; one to a rule that does not exist.
var ruleException = lintRule{code: "exception"}
