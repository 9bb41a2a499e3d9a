package sheet

// The cautions that hold wherever a computed timing is shown, sheet or not.
const (
	detonation = "Detonation breaks pistons: audible knock is damage under way. Start retarded, listen under load, back off at the first trace. Computed limits are estimates with the band shown, not a permission."
	law        = "Timing can be part of a vehicle's type approval or emissions certification: local law and inspection rules come first. Where the law asks for licensed practice, leave the work to it."
)

// EngineCautions returns what must stand beside any computed spark or knock
// limit, where nothing is set or taken apart yet.
func EngineCautions() []string { return []string{detonation, law} }

// Cautions returns what must stand beside every setting sheet. The sentences
// are general good practice and replace neither the vehicle maker's
// instructions nor licensed work.
func Cautions() []string {
	return []string{
		"Running engine: keep hands, hair, sleeves, light and leads away from belts and fan; wheels chocked, out of gear, brake on. Nobody stands in the plane of the fan.",
		"Run the engine outdoors or with the exhaust led away. Fuel vapour burns: no smoking, no sparks, an extinguisher within reach, fuel leaks cured first.",
		detonation,
		"Weights and springs fly at speed: clips and posts secure, cap and guard on, eye protection on; never run an open distributor near your face. Ignition voltage can injure, above all with a heart pacemaker.",
		"Closing a slot by weld or braze: distributor off the engine, away from fuel and battery, in the hands of a trained welder; check afterwards that the weights move freely to both stops.",
		"Set with the vacuum hose off and plugged. Change one thing at a time and re-check the total after each.",
		law,
	}
}
