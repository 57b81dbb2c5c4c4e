package stock

// Families gives the families in the order of the table.
func Families() []string { return append([]string(nil), families[:]...) }
