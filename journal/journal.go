// Package journal holds what a drinker writes down, as plain values: no input or output, no clock, no logging.
// Every calculation on them lives in a package below this folder.
package journal

import "fairmeasure/journal/unit"

// ID names one thing of a journal: 26 characters of Crockford base 32, or a fixed id such as "set.country",
// "day.2026-05-15" or "stock.lime_juice".
type ID string

// Refusal says that an input is not acceptable. It is safe to show: Code is stable and names the reason, Field the
// place, and the text says what was expected and what came.
type Refusal struct {
	Code  string
	Field string
	Text  string
}

func (r *Refusal) Error() string { return r.Text }

// Refuse makes a Refusal. Its text is put together from format and args as fill says.
func Refuse(code, field, format string, args ...any) *Refusal {
	return &Refusal{code, field, fill(format, args...)}
}

// Open says that a line has no measured amount.
type Open string

// The open amounts.
const (
	Measured Open = ""
	Top      Open = "top"   // topped up in the glass; the amount stays open until given
	Rinse    Open = "rinse" // coats the glass, the rest is discarded
	Float    Open = "float" // laid on the surface; the amount stays open until given
	ToTaste  Open = "taste"
)

// Content is what an ingredient holds, each with its band. Unknown is never zero.
type Content struct {
	Strength unit.Maybe[unit.Band[unit.Strength]]
	Sugar    unit.Maybe[unit.Band[unit.Concentration]]
	Acid     unit.Maybe[unit.Band[unit.Concentration]]
}

// Part is one line as it went into a glass.
type Part struct {
	Name       string
	Ingredient ID // empty when the line names nothing known
	Bottle     ID // empty when no bottle was named
	Open       Open
	Volume     unit.Maybe[unit.Band[unit.Volume]] // unknown for an open amount without a figure
	Content    Content
}

// Made is what was in one glass: all a balance, an alcohol total or a bottle level needs, so that nothing done later to
// a spec or an ingredient changes an old pour.
type Made struct {
	Method Method
	Ice    string
	Parts  []Part
}

// Method is how a drink is mixed, in our own closed list of words; an unknown word is kept and shown as it is.
type Method string

// The methods with a known dilution (see journal/dilution).
const (
	Stirred    Method = "stirred"
	Shaken     Method = "shaken"
	Built      Method = "built"  // over ice, stirred briefly, ice stays
	Long       Method = "long"   // built long over ice with a mixer
	Thrown     Method = "thrown" // between two tins
	Swizzled   Method = "swizzled"
	Flash      Method = "flash" // blended some seconds with crushed ice, poured with it
	Blended    Method = "blended"
	Whipped    Method = "whipped" // a few pieces of small ice, all melted
	Dry        Method = "dry"     // shaken without ice
	Freezer    Method = "freezer" // batched with measured water
	Neat       Method = "neat"    // no ice and no water
	Carbonated Method = "carbonated"
)
