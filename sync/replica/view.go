package replica

// View is what a person sees: the server's copy with the device's own queue on top.
type View interface {
	// Get gives an entity that has at least one live write, also when it is hidden as deleted.
	Get(ID) (*Entity, bool)
	// Each calls fn for every entity of a kind in id order, hidden ones too, until fn returns false.
	Each(kind string, fn func(*Entity) bool)
	// DeviceOf names the device that first used a run; empty when it is not known (or is this device).
	DeviceOf(Run) string
}
