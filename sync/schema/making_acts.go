package schema

import "fairmeasure/journal"

func (p *plan) making() error {
	return journal.Refuse("unknown_intent", "do", "makings are not kept yet")
}
