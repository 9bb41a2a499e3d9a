// Package quantity reads values with their units and shows them: "18.5 g",
// "9.4 lbf/in", "14 inHg", "12 deg crank", "1300 rpm dist".
//
// Two mistakes are classic in spark timing: a number taken in the wrong unit,
// and an angle or speed of the distributor taken for one of the crankshaft. In
// files and on screens this project therefore never writes a bare number. This
// package refuses one, and says which units it would have accepted; an angle or
// a speed must also name its shaft, "crank" or "dist".
//
// There are two ways in.
//
// The named types are for the fields of a file: [Mass], [Length], [Force],
// [Stiffness], [Moment], [Vacuum], [Stress], [Temperature], [Ratio], [Turns], and
// with a shaft [Angle] and [Speed]. They read text, as package strict hands it to them,
// and hold plain SI inside (a [Mass] converts to a float64 in kilograms). [Angle] and
// [Speed] keep the shaft they were given on and convert through an [advance.Drive].
//
// [Parse] is the general reader: it takes any product, quotient and integer
// power of the known units, such as "kg m^2", "J/(kg K)" or "1.2 g cm^2", and
// returns a [Quantity] in SI with its dimension.
//
// # Grammar
//
//	quantity = number unit [ "crank" | "dist" ]
//	number   = [ sign ] digits [ "." digits ] [ "e" [ sign ] digits ]
//	unit     = product [ "/" factor ]
//	product  = factor { ( space | "*" | "·" ) factor }
//	factor   = ( symbol | "(" unit ")" ) [ "^" integer | "²" | "³" ]
//
// One solidus is allowed at a level, and only one factor after it, so that
// "J/kg K" is refused and "J/(kg K)" is not (the rule of NIST SP 811, section
// 6.1.6). A number has a decimal point, never a comma. A symbol that is not
// known is refused, with the one meant where a common slip shows it. The unit of a plain number is written "1"; a ratio may be
// written "8.5:1".
//
// # Factors
//
// All factors are held as exact fractions, and a value is rounded once, to the
// nearest float64. Their source is NIST Special Publication 811 (A. Thompson
// and B. N. Taylor, Guide for the Use of the International System of Units,
// 2008 edition), Appendix B. The inch and the millimetre of mercury are the
// conventional ones, 3386.389 Pa and 133.3224 Pa, which SP 811 gives to seven
// digits. "psi" is exactly lbf/in^2.
//
// # Errors
//
// Nothing a caller passes makes this package panic. Errors wrap [errSyntax],
// [errUnit], [errShaft] or [valid.ErrRange] and are one sentence that quotes the text
// and says what would be valid. NaN and infinities are refused on the way in.
//
// # Not covered
//
// Temperature differences in degC or degF (write K), units of angle per turn
// other than rad, deg and rev, and logarithmic units. Magnitudes above 1e30 or
// below 1e-30 of the SI unit are refused: nothing of this trade is that size.
package quantity
