// Package reach says what a list of cutters can remove of a blank from one direction, what they
// leave, and where.
//
// Lengths are millimetres, volumes cubic millimetres. The package knows geometry and cutters and
// nothing of machines, feeds or prices; it judges nothing.
//
// The insert is seen along the direction as a height field: the highest metal on each ray of a
// grid (mesh/dexel). A cutter standing on a ray comes down until it touches the field; the
// surface it can then leave is the field closed by the cutter's shape, the grey-scale closing
// of Serra (Image Analysis and Mathematical Morphology, Academic Press 1982, ch. XII): a maximum
// over the cutter's footprint of height less profile, then a minimum of that plus profile.
// Circles are exact: the profile is evaluated at the true distance of each ray in the footprint.
//
// The holder is a disc of its own diameter, a stick-out above the tip. It may touch neither the
// insert nor stock that this cutter leaves. Raising the cutter for the holder leaves more stock,
// which may raise it elsewhere, so the two are repeated until nothing moves. Cutting from the
// top down, nothing else is in the holder's way: when the tip works at a height, all that can go
// above it has gone.
//
// Invariants (the tests cite these numbers):
//
//	R1  stock = removed by each cutter in turn + undercut + residue, exactly, on the grid
//	R2  no cutter ever goes below the height field: the insert is never cut
//	R3  residue never grows with another cutter, and never shrinks with a shorter stick-out
//	R4  the result is the same on any number of cores
//	R5  in a sequence of drills and set-ups every quantum of stock has one fate: what one has
//	    removed no other finds, and fates add up to the stock exactly
//
// Errors. Two things are added. Volumes are sums over a regular grid, turned in its plane so
// that walls of the insert do not run along its rows; their error is that of the row sums' second
// differences, as in mesh/difference. And the cutter's outline falls between rays:
// every face that a cutter leaves, and that is not the insert's, may be off by 1.25 pitches, and the
// area of those faces times that is stated; or, where it is more, what a cutter slimmer or wider
// by half the diagonal of a cell would remove more or less. A gap as wide as the cutter to within
// that so comes out as passed or not, with all that lies behind it as the error.
//
// Sequences. Several set-ups work on one stock, which is kept on the rays of the first. What a later
// one removes is found by trying points on those rays against the surface that its cutters leave on a
// grid of its own, where each of the four rays around a point may vouch for it: stock is only what the
// insert leaves free on the first rays, so that cannot cut the insert. (Tried: the nearest ray alone.
// Half a pitch of stock was then left along every wall of a slot, 3 % of it.) A later set-up is shown
// only what is left, but the whole insert: its holders do not meet stock that is gone.
//
// Limits. A cutter moves along the direction only and its shank is no wider than its cutting
// diameter; tilting, side cutters and lollipops are not modelled. The cutter may stand anywhere
// beside the blank and run out below it. Regions are of places, not of tool paths: that a cutter
// can stand in a pocket does not say that it can plunge there.
//
// Figures, on two cores of a 2.1 GHz server: four cutters with holders over 0.9 M rays of
// insert_1m, 2 to 3 s (BenchmarkReach). Each cutter takes six searches over what is near stock still
// there and, for the holder, as many more as stock is found to be in its way.
package reach
