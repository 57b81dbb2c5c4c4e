package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

type accountsConfig struct {
	offlineConfig
	// Role of a new account.
	Role string
	// ShutDevices ends every device of an account that is recovered.
	ShutDevices bool
	// Yes means it.
	Yes bool
}

// accountsOptions declares what every one of these commands has, and what more says.
func accountsOptions(wants string, more func(*options, *accountsConfig)) func(*options) {
	return func(o *options) {
		cfg := &accountsConfig{}
		o.cfg = cfg
		if wants != "" {
			o.wants, o.maxArgs = wants, 1
		}
		cfg.declare(o)
		if more != nil {
			more(o, cfg)
		}
	}
}

const accountName = "the NAME of an account"

var accountsCommand = command{
	name: "accounts",
	does: "who has a journal on this server; a way back in; removing someone",
	help: `
These work on the data of a server that is stopped. Each account has one journal, which no other account reads; nothing
here shows what is in one.`,
	subs: []command{
		{
			name:    "accounts list",
			does:    "name, role, when it was made, devices that may come in, when one was last seen",
			help:    "Prints a table on standard output; columns are at least two blanks apart, times are UTC.",
			options: accountsOptions("", nil),
			run: func(ctx context.Context, p *program, o *options) error {
				return p.onAccounts(ctx, o, false, p.listAccounts)
			},
		},
		{
			name: "accounts create",
			does: "make an account, and a code for its first device",
			help: `
fairmeasure accounts create NAME [--role owner]

The account has no password until its person sets one in the app. The code is printed on standard output, with the link
when --public-url says where people find the server. It is good once, for an hour.`,
			options: accountsOptions(accountName, func(o *options, cfg *accountsConfig) {
				cfg.declareURL(o)
				o.flags.StringVar(&cfg.Role, "role", string(auth.RoleMember), "`ROLE`: a member has a journal; an owner also invites members.")
				o.local["role"] = true
			}),
			run: func(ctx context.Context, p *program, o *options) error {
				if role := o.cfg.(*accountsConfig).Role; role != string(auth.RoleMember) && role != string(auth.RoleOwner) {
					return &callError{fmt.Sprintf("accounts create: expected --role owner or member, got %q", role), "a member has a journal; an owner also invites members"}
				}
				return p.onAccounts(ctx, o, true, p.createAccount)
			},
		},
		{
			name: "accounts recover",
			does: "a way back in for someone who lost password and devices",
			help: `
fairmeasure accounts recover NAME [--shut-devices]

Takes the account's password away and prints a code, as accounts create does, that lets in one device of that account; a
code printed before is worth nothing then. A new password is set there in the app. Devices that are signed in stay so,
unless --shut-devices ends them.`,
			options: accountsOptions(accountName, func(o *options, cfg *accountsConfig) {
				cfg.declareURL(o)
				o.flags.BoolVar(&cfg.ShutDevices, "shut-devices", false, "End the sign-in of every device of the account: when one was lost or stolen.")
				o.local["shut-devices"] = true
			}),
			run: func(ctx context.Context, p *program, o *options) error {
				return p.onAccounts(ctx, o, false, p.recoverAccount)
			},
		},
		{
			name: "accounts remove",
			does: "erase someone's journal and forget the account",
			help: `
fairmeasure accounts remove NAME --yes

Erases the account's journal from this server for good, then the account with its devices, codes and record of sign-ins.
Its devices are told when they next meet the server; what they hold can be saved to a file there. Backups made before
still have everything.`,
			options: accountsOptions(accountName, func(o *options, cfg *accountsConfig) {
				o.flags.BoolVar(&cfg.Yes, "yes", false, "Do it. Without this nothing is removed.")
				o.local["yes"] = true
			}),
			run: func(ctx context.Context, p *program, o *options) error {
				if !o.cfg.(*accountsConfig).Yes {
					return &callError{
						fmt.Sprintf("accounts remove: expected --yes, because the journal of %q is erased for good", o.args[0]),
						"copy the data folder first, or let its person save a file in Keeper, if any of it may be wanted again",
					}
				}
				return p.onAccounts(ctx, o, false, p.removeAccount)
			},
		},
	},
}

// onAccounts opens the data, does one thing there and closes it. mayMake: the data may be made.
func (p *program) onAccounts(ctx context.Context, o *options, mayMake bool, do func(context.Context, *offline, accountsConfig, string) error) error {
	cfg := *o.cfg.(*accountsConfig)
	name := ""
	if len(o.args) > 0 {
		name = o.args[0]
	}
	off, err := p.openOffline(ctx, cfg.offlineConfig, mayMake)
	if err != nil {
		return err
	}
	return off.closeAfter(do(ctx, off, cfg, name))
}

func (p *program) listAccounts(_ context.Context, off *offline, _ accountsConfig, _ string) error {
	accounts := off.door.Accounts()
	if len(accounts) == 0 {
		fmt.Fprintln(p.stderr, "Nobody has an account here.")
		return nil
	}
	t := tabwriter.NewWriter(p.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "name\trole\tcreated\tdevices\tlast seen")
	for _, a := range accounts {
		open, seen := 0, "never"
		var last time.Time
		for _, d := range off.door.Devices(a.ID) {
			if d.End == auth.EndNone {
				open++
			}
			if d.LastSeen.After(last) {
				last = d.LastSeen
				seen = listedTime(last)
			}
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\n", a.Name, a.Role, listedTime(a.Created), open, seen)
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("printing: %w", err)
	}
	return nil
}

func listedTime(t time.Time) string { return t.UTC().Format("2006-01-02T15:04Z") }

// wayInLife is how long the set-up link and the codes of this terminal are good (chosen: the server has to be started and
// the device fetched).
const wayInLife = time.Hour

func (p *program) createAccount(ctx context.Context, off *offline, cfg accountsConfig, name string) error {
	a, err := off.door.CreateAccount(ctx, name, auth.Role(cfg.Role))
	switch {
	case errors.Is(err, auth.ErrNameTaken):
		return &hinted{fmt.Errorf("accounts create: there is an account %q already", name), "fairmeasure accounts recover prints a code for it"}
	case errors.Is(err, auth.ErrAccountName):
		return &callError{fmt.Sprintf("accounts create: expected a name of 1 to %d printable characters, got %q", auth.MaxName, name), ""}
	case err != nil:
		return err
	}
	code, err := off.door.Recover(ctx, a.ID, wayInLife, false)
	if err != nil {
		return err
	}
	return p.printWayIn(off.url, code, fmt.Sprintf("Made %s, %s, in %s. Start the server; the first device comes in with this, once, within %s:", a.Name, a.Role, cfg.Data, spoken(wayInLife)))
}

func (p *program) recoverAccount(ctx context.Context, off *offline, cfg accountsConfig, name string) error {
	a, err := off.account("accounts recover", name)
	if err != nil {
		return err
	}
	code, err := off.door.Recover(ctx, a.ID, wayInLife, cfg.ShutDevices)
	if err != nil {
		return err
	}
	done := a.Name + " has no password now"
	if cfg.ShutDevices {
		done += ", and no device that is signed in"
	}
	return p.printWayIn(off.url, code, fmt.Sprintf("%s. Start the server; a device comes in with this, once, within %s:", done, spoken(wayInLife)))
}

// printWayIn prints a code for people and for programs. Without the server's address only the path of the page is known.
func (p *program) printWayIn(url string, code auth.DeviceCode, text string) error {
	link := url + "/pair#code=" + code.String()
	if url != "" && terminal(p.stderr) {
		if err := paintCode(p.stderr, link); err != nil {
			return err
		}
	}
	fmt.Fprintln(p.stderr, text)
	if url == "" {
		link = "/pair"
	}
	_, err := fmt.Fprintf(p.stdout, "open    %s\ncode    %s\n", link, code)
	return err
}

func spoken(d time.Duration) string { return fmt.Sprintf("%d minutes", int(d.Minutes())) }

func (p *program) removeAccount(ctx context.Context, off *offline, _ accountsConfig, name string) error {
	a, err := off.account("accounts remove", name)
	if err != nil {
		return err
	}
	devices := len(off.door.Devices(a.ID))
	gone := []string{"the account"}
	if _, ok := off.door.JournalOf(a.ID); ok {
		gone = []string{"the journal", "the account"}
	}
	if err := server.EraseAccount(ctx, off.store, off.door, a.ID); err != nil {
		return err
	}
	switch devices {
	case 0:
	case 1:
		gone = append(gone, "1 device")
	default:
		gone = append(gone, fmt.Sprintf("%d devices", devices))
	}
	fmt.Fprintf(p.stderr, "Gone from this server: %s of %s, with codes and record of sign-ins. Copies on devices and in backups are theirs to delete.\n", strings.Join(gone, ", "), a.Name)
	if !off.door.HasOwner() {
		fmt.Fprintln(p.stderr, "No owner is left: serve prints a link to set one up at its next start.")
	}
	return nil
}
