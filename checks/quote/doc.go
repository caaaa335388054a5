// Package quote turns takeoffs and a shop's rates into hours, money and weeks, line by line, each
// line with the formula it came from.
//
// It measures nothing and knows no triangle. Volumes come in cubic millimetres, areas in square
// millimetres, lengths in millimetres; hours are hours, money is in the rates' currency. Rates carry
// the units that package rules states.
//
// Invariants (the tests cite these numbers):
//
//	Q1  hours are rounded once, to hundredths, and money once, to hundredths, each where the line is
//	    made; every sum is exact, so totals equal their lines in every column
//	Q2  a line names every rates key it depends on, and no other key changes it, but that
//	    contingency and margin follow from the lines before them
//	Q3  low <= likely <= high on every line and in every total
//	Q4  the same takeoffs and rates give the same quote, byte for byte
//
// # Power
//
// A cutter that removes Q cm3/min against a specific cutting force kc N/mm2 does work at the rate Q kc.
// One cm3/min is 1000/60 mm3/s; one mm3/s times one N/mm2 is one N mm/s, a thousandth of a watt. So
//
//	P = Q (1000/60) kc / 1000 W = Q kc / 60 W = Q kc / 60e3 kW
//
// at the cutter, and P = Q kc / (60e3 eta) at a spindle of which a share eta reaches the cutter.
// Turned round, a spindle of P kW lets Q = 60e3 P eta / kc through.
//
// Kienzle's law gives kc = kc1.1 h^-mc at a chip h mm thick. In milling the chip swells and thins
// along the tooth's way. A tooth takes the area fz ae of the feed's plane while it turns through
// phi = arccos(1 - 2 ae/D), an arc of phi D/2, so the mean thickness is h = 2 fz ae / (phi D), exact
// for circles a feed apart up to the second order of fz/D, with an edge angle of 90 degrees.
//
// # Removal
//
// Roughing clears the least of three: what the tool allows, Q = ap ae vf / 1000 with vf = fz z n and
// n = 1000 vc / (pi D) or the spindle's fastest; what the power allows; and what the machine's owner
// allows. The hours are volume over that, times a factor for all that is not cutting.
//
// # Finishing
//
// A surface is finished by the largest cutter that came near it in roughing, and by none thicker than the
// rates have for its kind. Walls go down in steps that shrink with the diameter, floors in steps across that
// are a share of it, free-form faces in steps that leave ridges of one height.
//
// # Low, likely, high
//
// Each line has three figures: the likely one by the formula; a low and a high one that are shares of
// it, stated in the rates, and take the bound on the takeoff's error with them, as far as that is no more than
// the part's own hours: beyond, it is a bound on counting and no forecast, and a note says so. Low and high
// are ends that hardly any job passes.
//
// Totals add the lows, the likelies and the highs. That is the sum of lines that go well or badly
// together, and no dependence between lines can lead beyond it. It is chosen because the lines of one
// job share their causes: the same steel, the same detail, the same estimator. Beside it stands what
// lines that miss independently would give: for each the mean (low + 4 likely + high)/6 and the
// deviation (high - low)/6 of PERT (Malcolm, Roseboom, Clark and Fazar, Operations Research 7, 1959,
// p. 646), means added, deviations added in squares, and three deviations on either side. The truth
// is between the two; the wide one is the one that is promised.
//
// # Limits
//
// Times in the cut are those of steady cutting on the whole volume; ways between are one factor, and each
// cutter has a time of its own. Rest milling is long ways and little metal, which a factor on volume serves
// badly: calibrate it. Holes are counted, whatever their threads and fits; ejector pins alone are fitted
// one by one.
// Cutters are not priced apart from the machine's hour. A hole deeper than its drill is not flagged
// here; takeoff says by which method it is made.
package quote
