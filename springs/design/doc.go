// Package design takes an extension spring from its wire to its law: how stiff a
// coil is, how much tension close winding holds, how strong the part is, how far
// a made one may lie off, and which wire and coil make a spring of a wanted law.
//
// # From wire to law
//
// [Material] is wire with its moduli, strength and density; [Wire] a coil of it,
// with rate, stress and surge frequency; [Part] a whole spring with loops and
// initial tension, whose law is [Part.Spring]. [InitialStress] says how much
// tension close winding holds, [Part.Static] and [Part.Fatigue] the factors of
// safety at the ends of its travel, and the tolerance tables how far a
// made one may lie off. [Compression] serves the spring of a diaphragm
// unit. [Springs] goes the other way: which wire, coil and turns make a spring of
// a wanted rate and tension.
//
// # Units and errors
//
// SI throughout: m, N, N/m, Pa, kg, K, Hz. Lengths are inside the hooks.
// Functions refuse bad data with errors that wrap [valid.ErrRange] and name the
// field, the value with its unit and the valid range.
//
// # What it rests on
//
// Formulas and tables are cited where they stand. Most are those of R. G. Budynas
// and J. K. Nisbett, Shigley's Mechanical Engineering Design, chapter 10, and
// are held against that book's examples and those of other textbooks, tables of
// ASTM, EN and DIN standards in testdata/corpus. What is from memory or common
// practice says so.
//
// # Not covered
//
// Bending of the coil under a side load, corrosion, and relaxation under heat
// over months. Strength is that of wire as delivered: a loop bent cold with
// pliers, a nick or rust takes far more off than any tolerance here. A spring
// that breaks at speed lets the mechanism go to its stop. Let factors of safety
// be generous, and check a changed spring on a bench before it runs.
package design

// Largest values a spring may have. They lie far beyond any spring of a
// spark-advance mechanism and far below what could overflow in a product.
const (
	maxRate   = 1e12 // N/m
	maxLength = 1e3  // m
	maxForce  = 1e9  // N
)
