package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"
)

type healthConfig struct {
	// URL of the server. Default: what --listen says.
	URL string
	// Listen is the address the server was told to listen on; an address that means "all" is asked on loopback.
	Listen string
}

var healthCommand = command{
	name: "health",
	does: "ask a running server whether it is well; exit code 0 when it is",
	help: "It reads /readyz: the server answers and its store can take something down.",
	options: func(o *options) {
		cfg := &healthConfig{}
		o.cfg = cfg
		o.flags.StringVar(&cfg.Listen, "listen", defaultListen, "`ADDR` the server listens on.")
		o.flags.StringVar(&cfg.URL, "url", "", "`URL` of the server, instead of --listen.")
	},
	run: func(ctx context.Context, p *program, o *options) error {
		cfg := o.cfg.(*healthConfig)
		url := strings.TrimSuffix(cfg.URL, "/")
		if url == "" {
			host, port, err := net.SplitHostPort(cfg.Listen)
			if err != nil {
				return &callError{fmt.Sprintf("health: --listen %q: expected host:port", cfg.Listen), "for example 127.0.0.1:8080"}
			}
			if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
				host = "127.0.0.1"
			}
			url = "http://" + net.JoinHostPort(host, port)
		}
		ctx, cancel := context.WithTimeout(ctx, healthWait)
		defer cancel()
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, url+"/readyz", nil)
		if err != nil {
			return &callError{fmt.Sprintf("health: --url %q: expected http://host:port", cfg.URL), ""}
		}
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			return fmt.Errorf("no answer from %s: %w", url, err)
		}
		defer resp.Body.Close()
		body, err := io.ReadAll(io.LimitReader(resp.Body, 4<<10))
		if err != nil {
			return fmt.Errorf("no whole answer from %s: %w", url, err)
		}
		if resp.StatusCode != http.StatusOK {
			return fmt.Errorf("%s is not well: %s %s", url, resp.Status, body)
		}
		fmt.Fprintln(p.stderr, url, "is well")
		return nil
	},
}

const healthWait = 3 * time.Second
