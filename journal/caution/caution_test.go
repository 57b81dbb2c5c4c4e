package caution_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/caution"
)

func codes(all []caution.Caution) []string {
	out := []string{}
	for _, c := range all {
		out = append(out, c.Code)
	}
	return out
}

func TestIn(t *testing.T) {
	for name, want := range map[string][]string{
		"egg white":             {"raw_egg", "allergen.egg"},
		"pasteurised egg white": {"allergen.egg"},
		"Eiweiß":                {"raw_egg", "allergen.egg"},
		"eggplant":              {},
		"orgeat":                {"allergen.nuts"},
		"almond milk":           {"allergen.nuts"},
		"heavy cream":           {"allergen.milk"},
		"coconut cream":         {},
		"peanut butter":         {"allergen.peanuts"},
		"dry vermouth":          {"allergen.sulphites"},
		"wheat beer":            {"allergen.gluten"},
		"ginger beer":           {},
		"rye whiskey":           {},
		"Worcestershire sauce":  {"allergen.fish"},
		"celery bitters":        {"allergen.celery"},
		"tonic water":           {"quinine"},
		"pink grapefruit juice": {"grapefruit"},
		"cold-brew coffee":      {"caffeine"},
		"activated charcoal":    {"charcoal"},
		"licorice root":         {"liquorice"},
		"lemon juice":           {},
		"gin":                   {},
		"soy sauce":             {"allergen.gluten", "allergen.soya"},
	} {
		require.Equal(t, want, codes(caution.In([]string{name})), name)
	}
	all := caution.In([]string{"egg white", "whole egg", "egg white"})
	require.Equal(t, []string{"egg white", "whole egg"}, all[0].Names)
	require.NotEmpty(t, all[0].Marking)
	require.True(t, caution.RawEgg("1 Egg"))
	require.False(t, caution.RawEgg("eggnog"))
}

// TestPutting holds the list of what is not to be infused, each with a word of it and one beside it that is harmless.
func TestPutting(t *testing.T) {
	for what, want := range map[string][]string{
		"pipe tobacco":          {"avoid.tobacco"},
		"two tonka beans":       {"avoid.tonka"},
		"apricot kernels":       {"avoid.kernels"},
		"popcorn kernels":       {},
		"comfrey leaf":          {"avoid.liver"},
		"borage flowers":        {},
		"calamus root":          {"avoid.calamus"},
		"wormwood":              {"infused.wormwood"},
		"Lily of the valley":    {"avoid.garden"},
		"foraged berries":       {"infused.foraged"},
		"garlic in oil":         {"infused.oil"},
		"cinchona bark":         {"infused.cinchona", "quinine"},
		"brown butter":          {"allergen.milk"},
		"raspberries":           {},
		"liquid nitrogen":       {"avoid.nitrogen"},
		"coffee beans, vanilla": {"caffeine"},
	} {
		require.Equal(t, want, codes(caution.Putting(what)), what)
	}
}
