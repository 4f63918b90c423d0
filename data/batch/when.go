package batch

import (
	"errors"
	"fmt"
	"time"

	"steepbook/data/quantity"
)

func (p *parser) started(v any) (time.Time, bool) {
	at := once("started")
	if !p.doc.Has(at.path()...) {
		p.wrong(at, "the file does not say when the batch started")
		return time.Time{}, false
	}
	m, said, err := p.onClock(v, time.Time{}, Nearest)
	switch {
	case err != nil:
		p.refuseMoment(at, err)
	case !said:
		p.wrong(at, "%q should be a date and time", "started")
	}
	return m.Time, m.DateOnly
}

// onClock reads a moment that is no span; a date without a year is reckoned from
// a moment, on its side. said is false where v says nothing of a day or a clock.
func (p *parser) onClock(v any, from time.Time, side Side) (m Moment, said bool, err error) {
	switch v := v.(type) {
	case time.Time:
		m, err = momentOf(v, p.loc)
		return m, true, err
	case string:
		return Reckoning{Loc: p.loc, From: from, Side: side, System: p.b.Units, InFile: true}.Moment(v)
	}
	return m, false, nil
}

// refuseMoment shows the example of a moment as TOML has it, without quotation marks.
func (p *parser) refuseMoment(at spot, err error) {
	var qe *quantity.Error
	if errors.As(err, &qe) {
		p.fail(at, fmt.Sprintf("%s = %s", at.last(), qe.Example), "%s", qe.Problem)
		return
	}
	p.refuse(at, err)
}

// since reads a moment of the batch: a duration since the start, or a time of
// the clock, both as hours since the start and as the moment itself.
func (p *parser) since(at spot, v any, what string) (hours float64, when time.Time) {
	m, ok := p.moment(at, v)
	if !ok {
		return 0, p.b.Started
	}
	if m.DateOnly && m.Time.Before(p.b.Started) && sameDay(m.Time, p.b.Started) {
		p.fail(at, fmt.Sprintf("%s = %s", at.last(),
			p.b.Started.Add(6*time.Hour).Format("2006-01-02T15:04:05")),
			"%s is given as a date alone, on the day the batch started; write the time too", what)
	}
	return p.sinceStart(at, m.Time, what)
}

// stage is since for what is done once, and often on the very day: the day of the
// start, as a date alone, is the end of it.
func (p *parser) stage(at spot, v any, what string) (hours float64, when time.Time) {
	m, ok := p.moment(at, v)
	if !ok {
		return 0, p.b.Started
	}
	if m.DateOnly && sameDay(m.Time, p.b.Started) {
		y, month, d := m.Time.Date()
		m.Time = time.Date(y, month, d, 23, 59, 0, 0, p.loc)
		if m.Time.Before(p.b.Started) {
			m.Time = p.b.Started
		}
	}
	return p.sinceStart(at, m.Time, what)
}

// sinceStart refuses what was before the start.
func (p *parser) sinceStart(at spot, t time.Time, what string) (hours float64, when time.Time) {
	if start := p.b.Started; t.Before(start) {
		p.wrong(at, "%s is before the batch started (%s)", what, start.Format("2006-01-02~15:04"))
	}
	return p.b.Hours(t), t
}

// moment reads a duration since the start, or a time of the clock; ok is false
// where there is none, or none that can be read.
func (p *parser) moment(at spot, v any) (m Moment, ok bool) {
	if v == nil {
		return m, false
	}
	m, said, noSpan, err := p.spanOrClock(v)
	p.twice = p.twice || m.Twice()
	switch {
	case err != nil && said:
		p.refuseMoment(at, err)
	case err != nil:
		p.refuse(at, noSpan)
	case !said:
		p.wrong(at, "%q should be a time since the start, in quotation marks, or a date and time",
			at.last())
	}
	return m, said && err == nil
}

// spanOrClock reads a span since the start, or a time of the clock; noSpan says why it is not
// the first, and said and err are as those of onClock.
func (p *parser) spanOrClock(v any) (m Moment, said bool, noSpan, err error) {
	text, _ := v.(string)
	d, noSpan := quantity.ParseDuration(text)
	if noSpan == nil { // 0.2166666667 h are 13 minutes
		return Moment{Time: p.b.Started.Add(d.Round(time.Millisecond))}, true, nil, nil
	}
	m, said, err = p.onClock(v, p.b.Started, Next)
	return m, said, noSpan, err
}

func sameDay(a, b time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }

// bought reads the day from which a botanical ages.
func (p *parser) bought(at spot, v any, in time.Time) time.Time {
	if v == nil {
		return time.Time{}
	}
	m, said, err := p.onClock(v, in, Last)
	switch {
	case err != nil:
		p.wrong(at, "%s", problemOf(err))
	case !said:
		p.wrong(at, "%q should be the day it was bought", "bought")
	case m.Time.After(in) && !sameDay(m.Time, in):
		p.wrong(at, "it was bought on %s, after it went into the jar (%s)", m.Time.Format(time.DateOnly),
			in.Format(time.DateOnly))
	}
	return m.Time
}

// ready reads the day for which it is made, as its noon.
func (p *parser) ready(v any) time.Time {
	at := once("ready")
	if v == nil {
		return time.Time{}
	}
	m, said, err := p.onClock(v, p.b.Started, Next)
	switch {
	case err != nil:
		p.wrong(at, "%s", problemOf(err))
	case !said:
		p.wrong(at, "%q should be the day it is to be ready by", "ready")
	case m.Time.Before(p.b.Started):
		p.wrong(at, "it is to be ready by %s, before it started", m.Time.Format(time.DateOnly))
	default:
		y, month, d := m.Time.Date()
		return time.Date(y, month, d, 12, 0, 0, 0, m.Time.Location())
	}
	return time.Time{}
}

// pressed reads when juice was pressed, which may be before the batch began.
func (p *parser) pressed(of spot, v any, in *float64) time.Time {
	at := of.of("pressed")
	if v == nil {
		return time.Time{}
	}
	m, said, err := p.onClock(v, p.b.Started, Nearest)
	switch {
	case err != nil:
		p.refuseMoment(at, err)
	case !said:
		p.wrong(at, "%q should be the day it was pressed", "pressed")
	case in != nil && p.b.Hours(m.Time) > *in && !sameDay(m.Time, p.b.At(*in)):
		p.wrong(at, "it was pressed on %s, after it went in", m.Time.Format(time.DateOnly))
	}
	return m.Time
}

var stageWords = map[string]string{"at": "strained", "strained": "strained", "bottled": "bottled",
	"opened": "opened"}

// apart are two different times since the start in words that differ too.
func apart(x, y float64) (first, second string) {
	first, second = hours(x), hours(y)
	if first != second {
		return first, second
	}
	minutes := func(h float64) string {
		m := int(h * 60)
		return fmt.Sprintf("%d h %d min", m/60, m%60)
	}
	return minutes(x), minutes(y)
}

//go:noinline
func hours(h float64) string {
	return quantity.FormatDuration(time.Duration(h * float64(time.Hour)))
}
