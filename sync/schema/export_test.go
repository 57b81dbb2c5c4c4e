package schema

// ActWords are the words of all intents.
var ActWords = func() (all []string) {
	for _, a := range acts {
		all = append(all, a.word)
	}
	return all
}()
