/** What to be careful about. */
export const caution = {
  caution: {
    title: 'Good to know',
    names: (list: string) => `${list}: `,
    allergens: (list: string) => `Allergens by name: ${list}. A label knows more; what is unknown may contain them.`,
    allergen: (code: string, names: string) => `${allergens[code] ?? code} (${names})`,
    text: (code: string) => cautionText[code] ?? code,
    sources: (list: string) => `Sources: ${list}.`,
    own: 'your own note',
  },
};

/** Allergens of Annex II, by the core's code. */
const allergens: Readonly<Record<string, string>> = {
  'allergen.egg': 'egg',
  'allergen.milk': 'milk',
  'allergen.nuts': 'nuts',
  'allergen.peanuts': 'peanuts',
  'allergen.gluten': 'gluten',
  'allergen.sulphites': 'sulphites',
  'allergen.fish': 'fish',
  'allergen.crustaceans': 'crustaceans',
  'allergen.molluscs': 'molluscs',
  'allergen.celery': 'celery',
  'allergen.mustard': 'mustard',
  'allergen.sesame': 'sesame',
  'allergen.soya': 'soya',
  'allergen.lupin': 'lupin',
};

/** What to be careful about, by the core's code. */
const cautionText: Readonly<Record<string, string>> = {
  raw_egg:
    'Raw egg can carry salmonella, and neither alcohol nor citrus makes it safe. Pasteurised egg, or aquafaba, for guests who are pregnant, old, very young or ill.',
  quinine:
    'Holds quinine. Not for anyone who is allergic to it, once lost platelets from it, or has trouble with heart rhythm; in pregnancy, ask first.',
  grapefruit:
    'Grapefruit and its kin change how some medicines work, and hours in between do not help. Anyone who takes medicines can ask a pharmacist.',
  caffeine: 'Caffeine makes people feel the alcohol less. It does not make it less.',
  charcoal: 'Charcoal can bind medicines, so that they do not work.',
  liquorice: 'Liquorice in quantity raises blood pressure.',
  slush: 'Against slush in that freezer: less water, or a warmer place.',
  carbonated_freezer: 'Nothing fizzy goes into a freezer: a closed bottle can burst. Chill it in the fridge.',
  freezer_unknown:
    'When it freezes cannot be told: a strength, a sugar or an amount is unknown. Leave space in the bottle and look after an hour.',
  open_amount: 'Has no amount, so it is not in the batch: add it to each glass, or give it an amount.',
  in_glass: 'Goes into each glass, not into the batch.',
  crystals: 'More sugar than stays dissolved in the fridge.',
  crystals_5c:
    'More sugar than stays dissolved in the fridge: crystals are likely there. Keep it warmer, or add water.',
  crystals_20c: 'More sugar than stays dissolved at 20 °C: crystals are likely. Add water.',
  'avoid.tobacco': 'Not into a spirit: it draws the nicotine out fast, and a little of that is poison.',
  'avoid.tonka':
    'Leave it out: it holds coumarin. Food with it may not be sold in the United States, and other countries cap it.',
  'avoid.kernels':
    'Kernels and bitter almonds give off cyanide. A few small ones are too many already: leave them out.',
  'avoid.liver': 'Holds alkaloids that harm the liver. Leave it out.',
  'avoid.calamus': 'Banned from food in the United States. Leave it out.',
  'avoid.garden':
    'A plant of the garden or the vase: some of these are poison, and others are sprayed. Only what is sold as food.',
  'avoid.nitrogen':
    'Liquid nitrogen and dry ice injure mouth and stomach, even when they seem gone. Never in the mouth, never in a closed bottle, never in a room without air; nothing is drunk until they are gone.',
  'infused.wormwood': 'Holds thujone, which food law limits. A little, and briefly.',
  'infused.foraged': 'Gathered outside: only what is known with certainty.',
  'infused.oil':
    'Garlic, herbs or chilli in oil or fat do not stand at room temperature: botulism grows there. In the fridge, and soon used.',
  'infused.cinchona':
    'How much quinine bark gives at home is unknown. Ringing ears, dizziness or trouble with seeing are signs of too much: stop, and see a doctor.',
};
