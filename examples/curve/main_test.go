package main

func Example() {
	main()
	// Output:
	//  500 rpm: 10.0 deg before top centre
	// 1000 rpm: 10.2 deg before top centre
	// 1500 rpm: 14.0 deg before top centre
	// 2000 rpm: 20.6 deg before top centre
	// 2500 rpm: 32.7 deg before top centre
	// 3000 rpm: 32.9 deg before top centre
}
