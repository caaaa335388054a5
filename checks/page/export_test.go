package page

// BarOf is barOf, for its test.
var BarOf = barOf
