package web

import (
	"net"
	"os"
	"strings"
)

// HomeAddresses are those that this machine has in home networks (RFC 1918, RFC 4193), the
// one by which it reaches others first; the error is the system's.
func HomeAddresses() (hosts []string, err error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var six []string
	for _, a := range all {
		switch n, ok := a.(*net.IPNet); {
		case !ok || !n.IP.IsPrivate():
		case n.IP.To4() != nil:
			hosts = append(hosts, n.IP.String())
		default:
			six = append(six, n.IP.String())
		}
	}
	hosts = append(hosts, six...)
	// Nothing is sent to find out by which it reaches others.
	if c, err := net.Dial("udp4", "192.0.2.1:9"); err == nil {
		first := c.LocalAddr().(*net.UDPAddr).IP.String()
		c.Close()
		for i, h := range hosts {
			if h == first {
				hosts[0], hosts[i] = hosts[i], hosts[0]
			}
		}
	}
	return hosts, nil
}

// OwnNames are what this machine is called in its network.
func OwnNames() []string {
	name, err := os.Hostname()
	if err != nil || name == "" {
		return nil
	}
	name = strings.ToLower(name)
	short, _, _ := strings.Cut(name, ".")
	return []string{name, short, short + ".local"}
}
