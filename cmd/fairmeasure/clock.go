package main

import (
	"fmt"
	"net"
	"net/url"
	"time"

	"fairmeasure/server"
)

// clockName is where the environment names the moment, and with its offset the zone, at which this program's clock begins;
// it goes on from there. It is for stories, pictures and demos, which so look the same at any hour, season and place.
const clockName = "FAIRMEASURE_CLOCK"

// setClock moves the program's clock where the environment says so.
func (p *program) setClock() error {
	text := p.env(clockName)
	if text == "" {
		return nil
	}
	begins, ok := server.ParseNow(text)
	if !ok {
		return &callError{fmt.Sprintf("%s=%q: expected the local date and time with its offset from UTC", clockName, text), "such as 2026-05-15T22:04:00+02:00; unset it to go by this machine's clock"}
	}
	machine, zone := p.now, time.FixedZone("", begins.OffsetMin*60)
	ahead := time.UnixMilli(begins.MS).Sub(machine())
	p.now = func() time.Time { return machine().Add(ahead).In(zone) }
	p.clock = text
	return nil
}

// checkClock refuses a clock of one's own to a server that others can reach: it judges sign-ins by that clock, and what
// people keep there would bear the wrong times for good.
func (p *program) checkClock(listen, public string) error {
	if p.clock == "" {
		return nil
	}
	host, _, err := net.SplitHostPort(listen)
	here := err == nil && server.Loopback(host)
	if u, err := url.Parse(public); public != "" {
		here = here && err == nil && server.Loopback(u.Hostname())
	}
	if here {
		return nil
	}
	return &callError{
		fmt.Sprintf("%s=%s is for tests and demos: with it the server answers on this machine only", clockName, p.clock),
		"unset it to go by this machine's clock",
	}
}
