package sheet

// The cautions that hold wherever a computed timing is shown, sheet or not.
const (
	detonation = "Detonation breaks pistons: audible knock is damage under way. Start retarded, listen under load, back off at the first trace. Computed limits are estimates with the band shown, not a permission."
	lugging    = "Do not lug: full throttle at low speed in a high gear knocks first."
	law        = "Timing can be part of emissions certification: local law comes first. Where it asks for licensed practice, leave the work to it."
)

// EngineCautions returns what must stand beside any computed spark or knock
// limit, where nothing is set or taken apart yet.
func EngineCautions() []string { return []string{detonation + " " + lugging, law} }

// Cautions returns what must stand beside every setting sheet. The sentences
// are general good practice and replace neither the vehicle maker's
// instructions nor licensed work.
func Cautions() []string {
	return []string{
		"Running engine: hands, hair, sleeves, light and leads clear of belts and fan; nobody in the plane of the fan. Wheels chocked, out of gear, brake on; a motorcycle on a firm stand, driven wheel clear or neutral proved.",
		"Exhaust is poison: outdoors, or led away. Fuel vapour burns: no smoking, no sparks, leaks cured first, an extinguisher within reach.",
		"Hot parts burn. An air-cooled engine overheats standing without a blower. Long running retarded makes the exhaust glow and burns valves.",
		"Above its own limit an engine can burst. Leave the governor in action.",
		detonation + " " + lugging,
		"Battery off before the distributor comes out. Ignition voltage can injure, above all with a heart pacemaker.",
		"Weights and springs fly at speed: clips and posts secure, cap and guard on, eye protection; never run an open distributor near your face.",
		"Closing a slot by weld or braze: distributor off the engine, away from fuel and battery, by a trained welder. Then the weights must move freely to both stops. Change one thing at a time and re-check the total after each.",
		law,
	}
}
