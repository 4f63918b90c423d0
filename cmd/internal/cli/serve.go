package cli

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"os"
	"os/signal"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/urfave/cli/v2"
	"rsc.io/qr"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/web"
	"steepbook/data/disk"
	"steepbook/data/quantity"
)

// defaultPort is one that no usual program takes.
const defaultPort = 8763

func serveCommand() *cli.Command {
	return &cli.Command{
		Name:      "serve",
		Usage:     "the book in a browser, on this machine or on the phones of the house",
		ArgsUsage: "[FOLDER]",
		Category:  toOthers,
		Description: "Shows the book in a browser, where you log with a thumb; only this machine can open it, " +
			"unless --lan lets in the phones that read the pairing code. Whoever has the code may read and write, " +
			"and nothing is encrypted on the way.",
		UsageText: lines(
			"steepbook serve demo-book",
			"steepbook serve demo-book --port 0"),
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "port", Value: defaultPort, Usage: "0 takes any that is free"},
			&cli.BoolFlag{Name: "lan", Usage: "open it to the home network, behind a pairing code"},
		},
		Action: serve,
	}
}

func serve(c *cli.Context) error {
	dir, err := oneFolder(c, ".")
	if err != nil {
		return err
	}
	if err := noFile(dir, "serve"); err != nil {
		return err
	}
	config, err := webConfig(c, dir)
	if err != nil {
		return err
	}
	defer config.Book.Close()
	hosts, err := addresses(c.Bool("lan"))
	if err != nil {
		return err
	}
	listeners, err := listen(c, hosts)
	if err != nil {
		return err
	}
	port := strconv.Itoa(listeners[0].Addr().(*net.TCPAddr).Port)
	open := "http://" + net.JoinHostPort(hosts[0], port) + "/"
	config.Hosts = append(hosts, "localhost", "127.0.0.1", "::1")
	if c.Bool("lan") {
		config.Hosts = append(config.Hosts, web.OwnNames()...)
		code := make([]byte, 16)
		_, _ = rand.Read(code) // never fails
		config.Code = hex.EncodeToString(code)
		open += "pair?code=" + config.Code
	}
	if err := announce(c, dir, open, config.Code); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(c.Context, os.Interrupt, syscall.SIGTERM)
	defer stop()
	return web.Serve(ctx, listeners, config)
}

// webConfig is what is served, but for the names it is called by.
func webConfig(c *cli.Context, dir string) (config web.Config, err error) {
	config = web.Config{Now: time.Now, Log: log.New(c.App.ErrWriter, "steepbook: ", 0)}
	if c.String("units") != "" {
		system, err := units(c, quantity.Metric)
		if err != nil {
			return config, err
		}
		config.Units = &system
	}
	if c.String("now") != "" {
		now, err := clock(c, time.Time{}, quantity.Metric)
		if err != nil {
			return config, err
		}
		config.Now = func() time.Time { return now }
	}
	if config.Book, err = book.Keep(dir); err != nil {
		return config, disk.Unread(dir, err)
	}
	return config, nil
}

// addresses are those to listen on, the one to give away first: this machine alone, or
// its addresses in home networks, too.
func addresses(lan bool) ([]string, error) {
	if !lan {
		return []string{"127.0.0.1"}, nil
	}
	hosts, err := web.HomeAddresses()
	if err == nil && len(hosts) == 0 {
		err = inputError{errors.New("this machine has no address in a home network (10.…, 172.16.… " +
			"to 172.31.…, 192.168.…, fd…); connect it, or leave --lan out")}
	}
	return append(hosts, "127.0.0.1"), err
}

// listen takes the same port at each address.
func listen(c *cli.Context, hosts []string) (all []net.Listener, err error) {
	port := c.Int("port")
	if port < 0 || port > 65535 {
		return nil, usagef(c, "--port is a number from 1 to 65535, or 0 for any that is free, not %d", port)
	}
	for _, h := range hosts {
		l, err := net.Listen("tcp", net.JoinHostPort(h, strconv.Itoa(port)))
		if err != nil {
			for _, open := range all {
				open.Close()
			}
			if errors.Is(err, syscall.EADDRINUSE) {
				return nil, inputError{fmt.Errorf("port %d is taken, by another steepbook maybe; try --port %d, "+
					"or --port 0 for any that is free", port, port+1)}
			}
			return nil, inputError{fmt.Errorf("port %d of %s cannot be opened, because %s", port, h,
				disk.Reason(err))}
		}
		all = append(all, l)
		port = l.Addr().(*net.TCPAddr).Port
	}
	return all, nil
}

// announce prints where the book is, and how a phone is paired.
func announce(c *cli.Context, dir, open, code string) error {
	p := page(c, quantity.Metric)
	if code == "" {
		return view.Serving(p, dir, open, "")
	}
	if err := view.Serving(p, dir, open, code); err != nil || c.Bool("json") {
		return err
	}
	return printQR(c.App.Writer, open, colourWanted(c.App.Writer))
}

// printQR draws a code that phones read, two modules to a character: with colour black on
// white whatever the terminal's colours are, else in the blocks of a dark terminal.
func printQR(w io.Writer, text string, colour bool) error {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return err
	}
	const quiet = 4 // modules of white around it, as ISO/IEC 18004 wants
	var b strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		if colour {
			b.WriteString("\x1b[30;107m")
		}
		for x := -quiet; x < code.Size+quiet; x++ {
			upper, lower := code.Black(x, y), code.Black(x, y+1)
			if !colour { // what is white is drawn
				upper, lower = !upper, !lower
			}
			switch {
			case upper && lower:
				b.WriteString("█")
			case upper:
				b.WriteString("▀")
			case lower:
				b.WriteString("▄")
			default:
				b.WriteString(" ")
			}
		}
		if colour {
			b.WriteString("\x1b[0m")
		}
		b.WriteString("\n")
	}
	_, err = io.WriteString(w, b.String())
	return err
}
