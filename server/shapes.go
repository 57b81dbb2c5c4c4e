package server

import "fairmeasure/server/auth"

// The shapes of what goes in and out, as JSON Schema. A shape with properties has those and no others in this version; a
// later one may add some, and a client passes over what it does not know.

type property struct {
	name     string
	shape    doc
	optional bool
}

func prop(name string, shape doc) property { return property{name, shape, false} }

// maybe is a property that may be missing.
func maybe(name string, shape doc) property { return property{name, shape, true} }

func object(all ...property) doc {
	properties, required := doc{}, []string{}
	for _, p := range all {
		properties[p.name] = p.shape
		if !p.optional {
			required = append(required, p.name)
		}
	}
	return doc{"type": "object", "properties": properties, "required": required}
}

func ref(name string) doc   { return doc{"$ref": "#/components/schemas/" + name} }
func list(of doc) doc       { return doc{"type": "array", "items": of} }
func text(tells string) doc { return doc{"type": "string", "description": tells} }
func yes(tells string) doc  { return doc{"type": "boolean", "description": tells} }

func whole(tells string) doc { return doc{"type": "integer", "description": tells} }

// number is a number that is rounded to what is shown.
func number(tells string) doc { return doc{"type": "number", "description": tells} }

// orNull is a shape that may be null, and what null means.
func orNull(shape doc, tells string) doc {
	return doc{"anyOf": []doc{shape, {"type": "null"}}, "description": tells}
}

func oneOf(tells string, words ...string) doc {
	return doc{"type": "string", "enum": words, "description": tells}
}

// mapOf is an object with keys of its own choice.
func mapOf(of doc, tells string) doc {
	return doc{"type": "object", "additionalProperties": of, "description": tells}
}

var (
	milliseconds = "milliseconds since 1970-01-01T00:00Z"
	day          = doc{"type": "string", "format": "date", "pattern": `^\d{4}-\d{2}-\d{2}$`, "description": "A drinking day: the local date, less the start of the day."}
	clockTime    = doc{"type": "string", "pattern": `^\d{2}:\d{2}$`, "description": "Local time where it was lived, hours and minutes."}
	balanceKeys  = "By the figure's key: abv_percent, sugar_g_per_100ml, acid_percent, water_percent_of_start, volume_ml."
	claim        = text("A secret by which the device that waits comes in.")
	waitNumber   = text("Two digits, which the device that waits shows and a signed-in one repeats.")
	codeTyped    = text("Twelve letters and digits; blanks, dashes and case do not matter.")
	deviceName   = text("What the device is to be called, up to 60 characters.")
	keptBefore   = text("The id of a journal that was kept on the device before it had an account.")
	accountName  = text("What the account is called, 1 to 60 characters. Case does not matter for signing in.")
	password     = text("10 to 256 characters.")
	role         = oneOf("An owner invites others; a member keeps a journal.", string(auth.RoleOwner), string(auth.RoleMember))
	codeID       = text("Names a code without giving it away.")
	stamp        = text("The name of one action: its run and its count.")
	scalar       = doc{"type": []string{"string", "integer", "boolean", "null"}, "description": "A text, a whole number, true or false, or null for cleared."}
)

// shapes are those with a name.
var shapes = map[string]doc{
	"ID":        {"type": "string", "minLength": 1, "description": "Names one thing of a journal: 26 characters of Crockford base 32, or a fixed id."},
	"JournalID": {"type": "string", "pattern": "^[0-9a-f]{32}$"},
	"DeviceID":  {"type": "string", "minLength": 1},

	"Problem": object(
		prop("type", doc{"const": "about:blank"}), prop("title", text("The status in words.")), prop("status", whole("The HTTP status.")),
		prop("code", text("What a program acts on.")), maybe("detail", text("For a person; never for deciding.")),
		maybe("journal", ref("JournalID")), maybe("index", whole("Of the action that cannot be stored, counted from 0.")),
		maybe("retry_s", whole("Seconds to wait, as Retry-After.")),
	),

	// Coming in.
	"PairRequest": object(
		prop("code", codeTyped), maybe("name", deviceName), maybe("journal", keptBefore),
	),
	"SetupRequest": object(
		prop("key", text("As the server printed it.")), prop("name", accountName), prop("password", password), maybe("device", deviceName), maybe("journal", keptBefore),
	),
	"SignInRequest": object(prop("name", accountName), prop("password", password), maybe("device", deviceName), maybe("journal", keptBefore)),
	"JoinRequest": object(
		prop("code", codeTyped), prop("name", accountName), prop("password", password), maybe("device", deviceName), maybe("journal", keptBefore),
	),
	"Device": object(prop("id", ref("DeviceID")), prop("name", text("As the device was called."))),
	"Pass": object(
		prop("journal", ref("JournalID")),
		prop("device", ref("Device")),
		prop("account", object(prop("name", text("As the account is called.")), prop("role", role), prop("has_password", yes("It can be signed in to by name and password.")))),
	),
	"Wait": object(prop("waiting", yes("Always true.")), prop("number", waitNumber), prop("claim", claim)),
	"DeviceCode": object(
		prop("id", codeID), prop("expires_ms", whole("Until when it is good, "+milliseconds+".")),
		maybe("code", text("The code itself, told only to the device that asked.")),
		maybe("waits", object(prop("name", text("As the device that waits wants to be called.")), prop("since_ms", whole("Since when it waits, "+milliseconds+".")))),
	),
	"ListedDevice": object(
		prop("id", ref("DeviceID")), prop("name", text("As the device was called.")), prop("created_ms", whole("When it was admitted, "+milliseconds+".")),
		prop("last_seen_ms", whole("When it last asked for something, "+milliseconds+".")),
		maybe("last_address", text("Where that came from, an IP address; missing when it is not known.")),
		maybe("ended_ms", whole("When it was shut or signed out, "+milliseconds+"; missing while it may come in.")),
		maybe("end", oneOf("Why it may not come in.", "signed_out", "revoked", "reused")), prop("this", yes("It is the device that asks.")),
	),

	"ListedAccount": object(
		prop("name", text("As the account is called.")), prop("role", role), prop("created_ms", whole("When it was made, "+milliseconds+".")),
		maybe("last_seen_ms", whole("When a device of it last asked for something, "+milliseconds+"; missing when none did yet.")),
		prop("devices", whole("How many of its devices may come in.")),
	),
	"Invitation": object(
		prop("id", codeID), prop("expires_ms", whole("Until when it is good, "+milliseconds+".")),
		maybe("code", text("The code itself, told only to the device that asked.")),
	),
	"Event": object(
		prop("at_ms", whole("When it was, "+milliseconds+".")), prop("what", oneOf("What it was.",
			string(auth.WhatSetUp), string(auth.WhatSignedIn), string(auth.WhatSignInFailed), string(auth.WhatSignedOut), string(auth.WhatJoined),
			string(auth.WhatAdmitted), string(auth.WhatRenamed), string(auth.WhatRevoked), string(auth.WhatReused), string(auth.WhatPasswordChanged),
			string(auth.WhatRecovered), string(auth.WhatInvited), string(auth.WhatInvitationEnded),
		)),
		maybe("device", doc{"allOf": []doc{ref("DeviceID")}, "description": "The device it is about."}), maybe("name", text("As that device was called then.")),
		maybe("by", doc{"allOf": []doc{ref("DeviceID")}, "description": "The device that did it, when that is another."}), maybe("address", text("Where it came from, an IP address.")),
	),

	// A round.
	"RoundRequest": object(
		prop("proto", doc{"const": 1}), prop("app", text("The version of the app.")), prop("journal", ref("JournalID")),
		prop("now", whole("The device's clock, "+milliseconds+".")), prop("cursor", text("The mark up to which the device has read.")),
		prop("ack", text("The newest mark it was ever given.")), maybe("acts", list(ref("Action"))),
		maybe("fix", object(
			prop("add", list(ref("Entity"))), prop("drop", list(doc{"type": "array", "items": text("Id, field and stamp of a write."), "minItems": 3, "maxItems": 3})),
			prop("seen", ref("Seen")),
		)),
	),
	"Action": object(
		prop("s", stamp), prop("at", whole("When it was done by the device's clock, "+milliseconds+".")),
		prop("edits", list(object(
			prop("id", ref("ID")), prop("kind", text("What kind of thing it is.")), maybe("set", mapOf(scalar, "By field: what it is set to.")),
			maybe("over", mapOf(list(stamp), "By field: the writes it replaces.")),
		))),
	),
	"Entity": object(
		prop("id", ref("ID")), prop("kind", text("What kind of thing it is.")),
		prop("w", list(object(prop("s", stamp), prop("at", whole("As the action's.")), prop("f", mapOf(scalar, "By field: the live write."))))),
	),
	"Seen": mapOf(doc{"type": "array", "items": doc{"type": []string{"integer", "string"}}, "minItems": 2, "maxItems": 2},
		"By run: how far it was seen, and the id of the device that first used it."),
	"RoundAnswer": object(
		prop("journal", ref("JournalID")), prop("app", text("The version of the app that the server carries.")),
		prop("now", whole("The server's clock, "+milliseconds+".")), prop("took", whole("So many of the leading actions are dealt with.")),
		prop("ack", text("The mark of what is durable.")), prop("cursor", text("The mark to go on reading from.")), prop("more", yes("There is more to read.")),
		prop("ents", list(ref("Entity"))), prop("seen", ref("Seen")), prop("devices", mapOf(text("A device's name."), "By id, of the devices named in seen.")),
		maybe("you", ref("DeviceID")),
	),

	// Figures.
	"DrinkUnit": object(
		prop("country", text("Whose standard drink it is.")), prop("name", text("As its issuer calls it.")), prop("grams", number("Grams of pure alcohol in one.")),
		prop("fallback", yes("The country chosen has none of its own.")),
	),
	"Alcohol": object(
		prop("grams", number("Grams of pure alcohol.")), prop("drinks", number("Standard drinks of the unit beside.")),
		prop("at_least", yes("A strength or volume in it is not known: it is this much or more.")),
		prop("or_drinks", orNull(number("Standard drinks."), "What it would be with a value that clashes with the shown one; null when none changes it.")),
		prop("about", yes("A time in it is only about right.")),
	),
	"Totals": object(prop("alcohol", ref("Alcohol")), prop("pours", whole("How many pours."))),
	"Pour": object(
		prop("id", ref("ID")), prop("at_ms", whole("When, "+milliseconds+".")), prop("time", clockTime),
		prop("utc", text("Its offset from UTC where the clocks were changed within its session, such as UTC+2; else empty.")), prop("day", day),
		prop("name", text("The drink's name.")), prop("version", text("Which version of it: benchmark, or a riff's name.")), prop("benchmark", yes("It was the drink's benchmark.")),
		prop("plain", yes("A drink that is no cocktail.")), prop("share_bp", whole("How much of the glass its owner drank, in basis points: 10000 is all of it.")),
		prop("score_x10", orNull(whole("Tenths of a point, 0 to 100."), "The score; null without one.")), prop("alcohol", ref("Alcohol")),
		prop("note", text("The owner's words.")), prop("tags", list(text("A flavour term."))), prop("spec", orNull(ref("ID"), "What it was poured by.")),
		prop("drink", orNull(ref("ID"), "The drink it belongs to.")), prop("clash", yes("Two devices set something of it apart.")),
		prop("deleted_changed", yes("Deleted on one device and changed on another.")), prop("about", yes("The time is only about right.")),
		prop("mark", oneOf("The owner's word on whether a session begins with it.", "", "split", "join")),
	),
	"Pours": object(
		prop("unit", ref("DrinkUnit")), prop("pours", list(ref("Pour"))), prop("total", whole("How many pours the journal holds.")),
		prop("next", orNull(text("For before."), "The place to go on from; null at the end.")),
	),
	"Sessions": object(
		prop("unit", ref("DrinkUnit")),
		prop("days", list(object(
			prop("day", day), prop("alcohol", ref("Alcohol")),
			prop("sessions", list(object(
				prop("since", clockTime), prop("until", clockTime), prop("alcohol", ref("Alcohol")), prop("pours", list(ref("Pour"))),
			))),
		))),
		prop("total", whole("How many pours the journal holds.")), prop("more", yes("There are pours on days before these.")),
		prop("counting", yes("The journal is not all read yet; always false here.")),
	),
	"Day": object(
		prop("day", day), prop("weekday", doc{"type": "integer", "minimum": 1, "maximum": 7, "description": "1 is Monday."}),
		prop("alcohol", orNull(ref("Alcohol"), "Null when nothing was logged and nothing confirmed.")),
		prop("state", oneOf("drunk: something was logged; free: confirmed as without alcohol; nothing: nothing logged.", "drunk", "free", "nothing")),
		prop("what", list(object(prop("name", text("A drink's name.")), prop("n", whole("How often."))))), prop("future", yes("The day is still to come.")),
	),
	"Guideline": object(
		prop("issuer", text("The body whose guidance it is; own for a limit of the owner's own.")), prop("year", whole("Of the guidance; 0 for an own limit.")),
		prop("status", text("Whether it is in force.")), prop("comparator", text("How the issuer means its number; none when it gives none, band when note names a band.")),
		prop("limit", number("The issuer's number, in unit; 0 when it gives none.")),
		prop("amount", orNull(number("In unit."), "What was drunk in the period; null when nothing is compared.")), prop("at_least", yes("The amount is this much or more.")),
		prop("unit", text("Of limit and amount.")), prop("period", oneOf("What it is about.", "day", "week", "occasion", "two_hours", "")),
		prop("group", text("Whom it is for, in the issuer's words.")), prop("state", oneOf("Where the amount lies.", "below", "at", "above", "")),
		prop("reached", yes("It is what the line warns of.")), prop("note", text("The issuer's band.")),
		prop("spread_days", whole("Over how many days the issuer asks to spread an amount near its number, when it was fewer; else 0.")),
	),
	"Week": object(
		prop("unit", ref("DrinkUnit")), prop("now_day", day), prop("session", orNull(ref("Totals"), "The session that runs now; null when none does.")),
		prop("last_seven", ref("Window")), prop("calendar", ref("Window")),
		prop("four_week_mean", doc{"allOf": []doc{ref("Alcohol")}, "description": "Of the last four weeks, a week."}), prop("guidance", list(ref("Guideline"))),
		prop("sessions", list(ref("WeekSession"))), prop("heavy", yes("Days with alcohol came to so much, on average over four weeks, that stopping suddenly can be dangerous.")),
		prop("country", text("The owner's country, by its code.")), prop("on_file", yes("The country has guidance of its own here.")),
		prop("quiet", yes("The owner wants the week shown only when asked for.")),
		prop("day_start_min", whole("When a drinking day begins, in minutes after midnight.")), prop("checked", text("The month in which the guidance was last compared with its issuers.")),
		prop("checked_old", yes("That was more than 18 months ago.")),
	),
	"Window": object(
		maybe("name", text("The week's name, such as 2026-W20.")), prop("from", day), prop("to", day), prop("totals", ref("Totals")), prop("days", list(ref("Day"))),
		prop("drinking", whole("Days with alcohol logged.")), prop("free", whole("Days the owner has confirmed as without alcohol.")), prop("nothing", whole("Days with nothing logged, which proves nothing.")),
	),
	"WeekSession": object(
		prop("id", ref("ID")), prop("day", day), prop("since", clockTime), prop("until", clockTime),
		prop("hours", number("Hours from the first pour to the last, as they passed.")), prop("alcohol", ref("Alcohol")), prop("pours", whole("How many.")),
		prop("pace_per_hour", orNull(number("Standard drinks an hour from the first to the last pour."), "Null for a single drink.")),
		prop("peak_two_hours", number("The most standard drinks in any two hours.")), prop("mark", oneOf("The owner's word on where it begins.", "", "split", "join")),
	),
	"Figure": object(
		prop("v", orNull(number("In the unit its key names."), "Null when it is not known.")), prop("lo", orNull(number("As v."), "The low end of its band.")),
		prop("hi", orNull(number("As v."), "The high end of its band; null too when v is a lower bound.")), maybe("at_least", yes("v is only a lower bound.")),
		prop("dec", whole("With how many decimals it is shown.")),
	),
	"Figures": object(
		prop("volume_ml", ref("Figure")), prop("abv_percent", ref("Figure")), prop("alcohol_g", ref("Figure")), prop("sugar_g_per_100ml", ref("Figure")),
		prop("acid_percent", ref("Figure")), prop("sugar_to_acid", ref("Figure")),
	),
	"Balance": object(
		prop("method", text("shaken, stirred, built ...")), prop("before", ref("Figures")), prop("after", ref("Figures")), prop("water_ml", ref("Figure")),
		prop("water_percent_of_start", ref("Figure")), prop("basis", oneOf("Where the water comes from: measured, a published curve as the owner's own drinks have it or as it is, a balance of heat, common practice, or not known.", "measured", "own", "curve", "energy", "habit", "none")),
		prop("coldest_c", doc{"allOf": []doc{ref("Figure")}, "description": "Where the finished glass would begin to freeze, in degrees Celsius."}),
		prop("usual", mapOf(object(prop("lo", number("As the figure.")), prop("hi", number("As the figure."))), balanceKeys+" Where drinks of its kind lie.")),
		prop("verdict", mapOf(oneOf("Against the usual range.", "below", "in", "above", ""), balanceKeys)),
		prop("why", mapOf(list(object(
			prop("name", text("A line's.")), prop("volume_ml", orNull(number("Millilitres."), "Null when not known.")), prop("per_litre", orNull(number("Grams per litre."), "Null when not known, or when it has no meaning.")),
			prop("amount", orNull(number("In the figure's own unit; sugar and acid in grams."), "Null when not known.")), prop("typical", yes("By a typical value, not by what is known of the bottle.")),
		)), "By the figure's key: each line's share.")),
		prop("remarks", list(object(prop("code", text("What the caution is: strength_unknown, estimate, raw_egg ...")), prop("names", list(text("A line it is about.")))))),
	),
	"SpecBalance": object(
		prop("id", ref("ID")), prop("drink_name", text("The drink it is a spec of.")), prop("name", text("The spec's own name.")), prop("benchmark", yes("It is its drink's benchmark.")),
		prop("balance", ref("Balance")), prop("alcohol", doc{"allOf": []doc{ref("Alcohol")}, "description": "Of the whole glass."}), prop("unit", ref("DrinkUnit")),
	),
}
