// Package gas gives the properties of the gases in a spark-ignition cylinder:
// air and fuel vapour before the flame, equilibrium products behind it.
//
// Species carry the nine-coefficient polynomials that NASA publishes; a
// [Mixture] is the count of atoms in a kilogram of gas; [Mixture.Equilibrium]
// finds the composition of least Gibbs energy that keeps those counts, by
// Newton's method on the element potentials. [Mixture.Burn] and
// [Mixture.BurnClosed] are the flames at constant pressure and at constant
// volume, [Mixture.Expand] the isentrope. [Mixture.Compositions] solves a whole grid
// of temperature and pressure, for a cycle that needs the products half a thousand
// times in fifty microseconds.
//
// Units are SI: K, Pa, J/kg, J/(kg K), kg/mol. Enthalpy counts from the elements
// at 298.15 K, so that the heat of a reaction is a difference of enthalpies.
//
// Not covered: condensed species, ions, soot. Ideal gas throughout: at the end
// of a burn (70 bar, 2700 K) the compressibility factor is 1.01.
//
// # Errors
//
// Functions return errors wrapping [valid.ErrRange] that name the field, its value with
// unit and the valid range; a search that does not settle says
// so. No NaN leaves the package without an error.
package gas
