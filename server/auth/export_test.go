package auth

// ReprintPHC reads a stored password and writes it again.
func ReprintPHC(text string) (string, error) {
	h, err := parsePHC(text)
	if err != nil {
		return "", err
	}
	return h.String(), nil
}
