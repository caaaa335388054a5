package report

import "embed"

// schemas holds the JSON Schemas (draft 2020-12) of what the commands print for programs.
//
//go:embed schema/*.schema.json
var schemas embed.FS

// SchemaCommands are the commands whose output has a schema.
var SchemaCommands = []string{"check", "measure", "takeoff", "quote", "calibrate", "compare"}

// Schema is the JSON Schema of what a command prints with --format json and, line by line, with
// --format jsonl; ok is false where the command has none.
func Schema(command string) (text []byte, ok bool) {
	text, err := schemas.ReadFile("schema/" + command + ".schema.json")
	return text, err == nil
}
