package main

import (
	"context"
	"fmt"

	"fairmeasure/server/auth"
)

var keysCommand = command{
	name: "keys",
	does: "the keys that sign access tokens",
	help: "It works on the data of a server that is stopped. A running server makes a new key every 30 days by itself.",
	subs: []command{{
		name: "keys rotate",
		does: "sign with a new key from now on",
		help: `
The key before is taken for an hour more, so nobody has to sign in again. When a key may have been copied, do this twice:
the second time ends the one of before the first at once, and devices renew their sign-in by themselves.`,
		options: func(o *options) {
			cfg := &offlineConfig{}
			o.cfg = cfg
			cfg.declare(o)
		},
		run: func(ctx context.Context, p *program, o *options) error {
			off, err := p.openOffline(ctx, *o.cfg.(*offlineConfig), false)
			if err != nil {
				return err
			}
			if err := off.door.RotateKeys(ctx); err != nil {
				return off.closeAfter(err)
			}
			if err := off.closeAfter(nil); err != nil {
				return err
			}
			_, err = fmt.Fprintf(p.stderr, "A new key signs from now on. The one before is taken for %s more; a second rotation ends it at once.\n", spoken(auth.KeyLinger))
			return err
		},
	}},
}
