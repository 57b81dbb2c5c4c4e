package schema

import "fairmeasure/journal"

var errNotCompared = journal.Refuse("unknown_intent", "do", "comparisons are not kept yet")

func (j *Journal) comparisons(question) (any, error) {
	return comparisonsJSON{[]comparisonRowJSON{}, []baseJSON{}}, nil
}
func (j *Journal) comparison(q question) (any, error) { return nil, missing("comparison", "id", q.ID) }
func (j *Journal) planned(q question) (any, error)    { return nil, missing("comparison", "id", q.ID) }
func (j *Journal) flightView(q question) (any, error) { return nil, missing("flight", "id", q.ID) }

func (p *plan) compare() error     { return errNotCompared }
func (p *plan) candidate() error   { return errNotCompared }
func (p *plan) anchor() error      { return errNotCompared }
func (p *plan) flight() error      { return errNotCompared }
func (p *plan) taste() error       { return errNotCompared }
func (p *plan) flightState() error { return errNotCompared }
func (p *plan) rate() error        { return errNotCompared }
func (p *plan) trial() error       { return errNotCompared }
