package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

// askingConfig is what a command is told that puts questions to a journal of a server that is stopped.
type askingConfig struct {
	offlineConfig
	// Account whose journal is meant; empty when there is one alone.
	Account string
	// Now is the moment asked about, with the offset lived at.
	Now string
}

// declare adds the options that every such command has.
func (c *askingConfig) declare(o *options) {
	c.offlineConfig.declare(o)
	o.flags.StringVar(&c.Account, "account", "", "`NAME` of the account whose journal is meant; not needed where there is one alone.")
	o.flags.StringVar(&c.Now, "now", "", "`TIME` to ask about, local with its offset: 2026-05-15T22:04:00+02:00. Default: now, by this machine's clock.")
	o.local["account"], o.local["now"] = true, true
}

// asked puts one question to the journal, as a screen would.
type asked func(question string) ([]byte, error)

// asking opens the data, hands fn the journal to ask, and closes the data again.
func (p *program) asking(ctx context.Context, command string, cfg askingConfig, fn func(asked) error) error {
	text := cfg.Now
	if text == "" {
		text = p.now().Format(time.RFC3339)
	}
	now, ok := server.ParseNow(text)
	if !ok {
		return &callError{fmt.Sprintf("%s: --now %q: expected the local date and time with its offset from UTC", command, text), "such as 2026-05-15T22:04:00+02:00"}
	}
	off, err := p.openOffline(ctx, cfg.offlineConfig, false)
	if err != nil {
		return err
	}
	return off.closeAfter(func() error {
		account, err := off.oneAccount(command, cfg.Account)
		if err != nil {
			return err
		}
		journal, ok := off.door.JournalOf(account.ID)
		if !ok {
			return &hinted{fmt.Errorf("%s: %s has no journal yet", command, account.Name), "it begins with the first device that comes in"}
		}
		names := func(id string) string { return off.door.DeviceName(account.ID, auth.DeviceID(id)) }
		return fn(func(question string) ([]byte, error) {
			answer, err := server.Ask(ctx, off.store, journal, names, now, question)
			if err != nil {
				return nil, fmt.Errorf("%s: reading the journal: %w", command, err)
			}
			return answer, nil
		})
	}())
}

// oneAccount finds the account meant: by its name, or the only one there is.
func (o *offline) oneAccount(command, name string) (auth.Account, error) {
	if name != "" {
		return o.account(command, name)
	}
	all := o.door.Accounts()
	if len(all) == 1 {
		return all[0], nil
	}
	var names []string
	for _, a := range all {
		names = append(names, a.Name)
	}
	if len(names) == 0 {
		return auth.Account{}, &hinted{errors.New(command + ": there is no account yet"), "fairmeasure serve prints a link that makes the first"}
	}
	return auth.Account{}, &callError{command + ": expected --account, because there are several: " + strings.Join(names, ", "), ""}
}
