package checks

// WaiverState has readings of its own nowhere: whoever applies the waivers of a run finds the
// expired and the idle ones, for only the whole run can tell that a waiver is needed by no insert.
var WaiverState = Check{
	ID:    "waiver.state",
	Title: "Every waiver still holds and is still needed",
	Doc: `A waiver that nobody needs any more waits to let the next mistake pass, and one whose day is over
must be decided anew. Measured: every waiver is held against today and against what it let pass in
this run. Where only part of its inserts is judged (--only, --skip, --since, --shard, one model), no
waiver is called needless. Always a warning; --fail-on warn rejects it.`,
	Unit:    Count,
	Mend:    `Take the waiver out, or have it accepted anew.`,
	Measure: func(*Subject) []Reading { return nil },
}
