package textout

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// The JSON answers. Field names carry their units and never change meaning;
// null stands for what cannot be reached or is not known. Numbers are printed
// to ten figures: rounding is for people.

type interval struct {
	Median *float64 `json:"median"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
}

type curveJSON struct {
	Botanical    string    `json:"botanical"`
	Cut          string    `json:"cut"`
	Watch        bool      `json:"watch"`
	InH          float64   `json:"in_h"`
	PulledH      *float64  `json:"pulled_h"`
	Tastings     int       `json:"tastings"`
	RatePerH     interval  `json:"rate_per_h"`
	Plateau      interval  `json:"plateau"`
	HalfTimeH    interval  `json:"half_time_h"`
	JarNow       *interval `json:"jar_now"`
	BottleNow    *interval `json:"bottle_now"`
	Target       *float64  `json:"target"`
	PullH        *interval `json:"pull_h"`
	TasteFromH   *float64  `json:"taste_from_h"`
	UntilH       *float64  `json:"until_h"`
	ChanceNever  float64   `json:"chance_never"`
	Overdue      bool      `json:"overdue"`
	LimitedBy    string    `json:"limited_by"`
	Do           string    `json:"do"`
	ByH          *float64  `json:"by_h"`
	Why          string    `json:"why"`
	Blame        string    `json:"blame"`
	From         string    `json:"from"`
	NextTastingH *float64  `json:"next_tasting_h"`
	Dose         *doseJSON `json:"dose_next_time"`
	Warnings     []string  `json:"warnings"`
}

type doseJSON struct {
	Factor *float64 `json:"factor"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Grams  *float64 `json:"grams"`
}

type rescueJSON struct {
	Flavour   string   `json:"flavour"`
	SpiritML  *float64 `json:"spirit_ml"` // null where it is not practical
	VolumeML  *float64 `json:"volume_ml"`
	Practical bool     `json:"practical"`
}

type steepJSON struct {
	Batch    string      `json:"batch"`
	ElapsedH float64     `json:"elapsed_h"`
	Curves   []curveJSON `json:"curves"`
	Rescue   *rescueJSON `json:"rescue"`
	Warnings []string    `json:"warnings"`
}

// SteepJSON writes the steep as JSON.
func SteepJSON(w io.Writer, a *bench.Assessment) error {
	out := steepJSON{Batch: a.Batch.Name, ElapsedH: a.ElapsedH, Curves: []curveJSON{}, Warnings: lines(a.Warnings)}
	for i := range a.Curves {
		out.Curves = append(out.Curves, curveOf(a, &a.Curves[i]))
	}
	if r := a.Rescue; r != nil {
		out.Rescue = &rescueJSON{Flavour: r.Name, Practical: r.Practical}
		if r.Practical {
			out.Rescue.SpiritML, out.Rescue.VolumeML = finite(r.SpiritML), finite(r.VolumeML)
		}
	}
	return write(w, out)
}

func curveOf(a *bench.Assessment, c *bench.Curve) curveJSON {
	o := &c.Order
	j := curveJSON{
		Botanical: c.Name, Cut: c.Cut, Watch: c.Watch, InH: c.InH, Tastings: c.Tasted,
		RatePerH: ninety(c.Posterior.Rate()), Plateau: ninety(c.Posterior.Plateau()), HalfTimeH: ninety(c.Posterior.HalfTime()),
		Target: c.Target, TasteFromH: finite(o.FromH - c.InH), UntilH: finite(o.UntilH - c.InH),
		ChanceNever: o.Never, Overdue: o.Overdue, LimitedBy: limitedBy(c), Do: string(o.Do), Why: string(o.Why), Blame: o.Blame, From: c.From,
		Warnings: lines(c.Warnings),
	}
	if o.Do == jar.Leave || o.Do == jar.Pull || o.Do == jar.Strain {
		j.ByH = finite(o.ByH)
	}
	if o.Do == jar.Leave || o.Do == jar.Taste {
		if !c.Watch {
			j.NextTastingH = finite(a.NextH)
		}
	}
	if d := c.Dose; d != nil {
		j.Dose = &doseJSON{Factor: finite(d.Factor), Low: finite(d.Low), High: finite(d.High)}
		if d.GramsNow > 0 {
			j.Dose.Grams = finite(d.Grams)
		}
	}
	if c.OutH != nil {
		h := *c.OutH - c.InH
		j.PulledH = &h
	}
	if c.JarH > 0 {
		j.JarNow, j.BottleNow = figure(c.JarNow), figure(c.BottleNow)
	}
	x := &o.Crossing
	switch {
	case o.Do == jar.Nothing:
		j.Warnings = append(j.Warnings, "nothing has come of it: more time will not help, a fresh or larger amount may")
	case !math.IsInf(o.BestH, 1) && o.Why != jar.Forbid:
		j.PullH = &interval{Median: finite(o.BestH - c.InH), Low: finite(math.Min(x.P05, o.BestH) - c.InH), High: finite(math.Max(x.P95, o.BestH) - c.InH)}
		if j.PullH.High == nil && !c.Watch {
			j.Warnings = append(j.Warnings, fmt.Sprintf("%s that it never reaches the strength wanted: more of it would help, more time will not", oneIn(o.Never)))
		}
	}
	return j
}

// limitedBy is the fixed word for what ends a steep.
func limitedBy(c *bench.Curve) string {
	switch {
	case c.Watch, c.Order.Why == jar.Spoils:
		return "watch"
	case c.Order.Why == jar.NoneYet, c.Order.Why == jar.Forbid:
		return "none"
	case c.Order.Why == jar.AllThere, c.Target == nil:
		return "plateau"
	}
	return "target"
}

func ninety(i kinetics.Interval) interval {
	return interval{Median: finite(i.Median), Low: finite(i.P05), High: finite(i.P95)}
}

func figure(f bench.Figure) *interval {
	return &interval{Median: finite(f.Value), Low: finite(f.Low), High: finite(f.High)}
}

type valueJSON struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

type stepJSON struct {
	Step       string  `json:"step"`
	What       string  `json:"what"`
	VolumeML   float64 `json:"volume_ml"`
	ABVPercent float64 `json:"abv_percent"`
	SugarGPerL float64 `json:"sugar_g_per_l"`
}

type causeJSON struct {
	Cause string  `json:"cause"`
	Cure  string  `json:"cure"`
	Share float64 `json:"share_of_variance"`
}

type blendJSON struct {
	Batch          string   `json:"batch"`
	VolumeML       *float64 `json:"volume_ml"`
	ABVPercent     *float64 `json:"abv_percent"`
	SugarGPerL     *float64 `json:"sugar_g_per_l"`
	AcidGPerL      *float64 `json:"acid_g_per_l"`
	Brix           *float64 `json:"brix"`
	PH             *float64 `json:"ph"`
	WaterActivity  *float64 `json:"water_activity"`
	DensityKgPerM3 *float64 `json:"density_kg_per_m3"`
	LossML         *float64 `json:"loss_ml"`
	BareABVPercent *float64 `json:"abv_percent_without_botanicals"`
	portionsJSON
	Ranges   map[string]valueJSON   `json:"ranges"`
	Causes   map[string][]causeJSON `json:"causes"`
	Steps    []stepJSON             `json:"steps"`
	Missing  []string               `json:"missing"`
	Remarks  []cautionJSON          `json:"remarks"`
	Warnings []string               `json:"warnings"`
	*planJSON
}

// portionsJSON is what is poured: blend and scale write the same.
type portionsJSON struct {
	DrinksUS14G   *float64      `json:"drinks_us_14g"`
	EthanolG      *float64      `json:"ethanol_g"`
	PerBottleG    *float64      `json:"ethanol_g_per_bottle"`
	PerServeG     *float64      `json:"ethanol_g_per_serve"`
	Bottling      *bottlingJSON `json:"bottles"`
	Cost          *float64      `json:"cost"`
	CostPerLitre  *float64      `json:"cost_per_litre"`
	CostPerBottle *float64      `json:"cost_per_bottle"`
	Unpriced      []string      `json:"unpriced"`
}

type bottlingJSON struct {
	SizeML    float64 `json:"size_ml"`
	Full      int     `json:"full"`
	RestML    float64 `json:"rest_ml"`
	Count     int     `json:"count"`
	CountLow  int     `json:"count_low"`
	CountHigh int     `json:"count_high"`
}

func portionsOf(x *bench.Portions, unpriced []string) portionsJSON {
	j := portionsJSON{Cost: x.Cost, CostPerLitre: x.PerLitre, CostPerBottle: x.PerBottle, Unpriced: lines(unpriced),
		EthanolG: orNull(x.EthanolG), PerBottleG: orNull(x.PerBottleG), PerServeG: orNull(x.PerServeG), DrinksUS14G: orNull(x.EthanolG / 14)}
	if b := x.Bottling; b != nil {
		j.Bottling = &bottlingJSON{b.SizeML, b.Full, b.RestML, b.Begun(), b.Low, b.High}
	}
	return j
}

type planJSON struct {
	Add     []portionJSON `json:"add"`
	Less    []lessJSON    `json:"less"`
	Reached bool          `json:"reached"`
	Why     string        `json:"why"`
	Then    figuresJSON   `json:"then"`
}

type portionJSON struct {
	Name     string  `json:"name"`
	AmountML float64 `json:"amount_ml"`
	AmountG  float64 `json:"amount_g"`
}

// lessJSON is what is left out of of_g that were still to go in.
type lessJSON struct {
	portionJSON
	OfG float64 `json:"of_g"`
}

type figuresJSON struct {
	VolumeML   float64  `json:"volume_ml"`
	ABVPercent float64  `json:"abv_percent"`
	SugarGPerL float64  `json:"sugar_g_per_l"`
	AcidGPerL  float64  `json:"acid_g_per_l"`
	PH         *float64 `json:"ph"`
}

func planOf(p *bench.Plan) *planJSON {
	if p == nil {
		return nil
	}
	q := p.Parts
	j := &planJSON{Add: []portionJSON{}, Less: []lessJSON{}, Reached: p.Reached, Why: p.Why,
		Then: figuresJSON{VolumeML: q.VolumeML(20), ABVPercent: q.ABVPercent(), SugarGPerL: q.SugarGPerL(), AcidGPerL: q.AcidGPerL()}}
	for _, a := range p.Add {
		if a.OfG > 0 {
			j.Less = append(j.Less, lessJSON{portionJSON{a.Name, a.VolumeML, a.MassG}, a.OfG})
		} else {
			j.Add = append(j.Add, portionJSON{a.Name, a.VolumeML, a.MassG})
		}
	}
	if p.PHKnown {
		j.Then.PH = finite(p.PH)
	}
	return j
}

// BlendJSON writes what is in the bottle as JSON and, where there was a goal,
// what to add.
func BlendJSON(w io.Writer, a *bench.Assessment, plan *bench.Plan) error {
	b := &a.Blend
	out := blendJSON{
		Batch: a.Batch.Name, portionsJSON: portionsOf(&b.Portions, b.Unpriced), Missing: lines(b.Wanting()), Warnings: lines(b.Warnings),
		Steps: []stepJSON{}, Ranges: map[string]valueJSON{}, Causes: map[string][]causeJSON{}, Remarks: []cautionJSON{},
		planJSON: planOf(plan),
	}
	for _, m := range b.Remarks {
		out.Remarks = append(out.Remarks, cautionJSON{m.Kind, m.Text, m.Source})
	}
	if !b.Have() {
		return write(w, out)
	}
	out.DrinksUS14G = finite(b.EthanolG / 14)
	r := &b.Result
	figures := []struct {
		name   string
		to     **float64
		value  mixture.Range
		figure mixture.Property
	}{
		{"volume_ml", &out.VolumeML, r.VolumeML, mixture.Volume},
		{"abv_percent", &out.ABVPercent, r.ABVPercent, mixture.ABV},
		{"sugar_g_per_l", &out.SugarGPerL, r.SugarGPerL, mixture.Sugar},
		{"acid_g_per_l", &out.AcidGPerL, r.AcidGPerL, mixture.Acid},
		{"brix", &out.Brix, r.Brix, mixture.Solids},
		{"ph", &out.PH, r.PH, mixture.Acidity},
		{"water_activity", &out.WaterActivity, r.WaterActivity, mixture.WaterActivity},
		{"density_kg_per_m3", &out.DensityKgPerM3, r.DensityKgPerM3, mixture.Density},
		{"loss_ml", &out.LossML, r.LossML, mixture.Loss},
	}
	for _, f := range figures {
		if f.name == "ph" && !r.PHKnown {
			continue
		}
		*f.to = finite(f.value.Value)
		out.Ranges[f.name] = valueJSON{finite(f.value.Value), finite(f.value.Low), finite(f.value.High)}
		for _, c := range r.Causes[f.figure] {
			out.Causes[f.name] = append(out.Causes[f.name], causeJSON{c.Cause, c.Cure, c.Fraction})
		}
	}
	if b.BareABVPercent > 0 {
		out.BareABVPercent = finite(b.BareABVPercent)
	}
	for _, s := range r.Steps {
		out.Steps = append(out.Steps, stepJSON{s.Name, s.What, s.VolumeML, s.ABVPercent, s.SugarGPerL})
	}
	return write(w, out)
}

type daysJSON struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

type changeJSON struct {
	Kind         string        `json:"kind"`
	Text         string        `json:"text"`
	Amount       float64       `json:"amount"`
	Unit         string        `json:"unit"`
	Add          []portionJSON `json:"add"`
	ABVPercent   float64       `json:"abv_percent"`
	SugarGPerL   float64       `json:"sugar_g_per_l"`
	Taste        string        `json:"taste"`
	Verdict      string        `json:"verdict"`
	UnopenedDays *daysJSON     `json:"unopened_days"`
}

type fadeJSON struct {
	Attribute string    `json:"attribute"`
	Of        []string  `json:"of"`
	Published bool      `json:"published_rate"`
	Days      *daysJSON `json:"days"`
	What      string    `json:"what"`
	Text      string    `json:"text"`
	Source    string    `json:"source"`
}

type cautionJSON struct {
	Kind   string `json:"kind"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

type keepJSON struct {
	Batch        string    `json:"batch"`
	Verdict      string    `json:"verdict"`
	Place        string    `json:"place"`
	UnopenedDays *daysJSON `json:"unopened_days"`
	OpenedDays   *daysJSON `json:"opened_days"`
	AtC          float64   `json:"at_c"`
	DecidedBy    struct {
		Organism   string   `json:"organism"`
		Hurdle     string   `json:"hurdle"`
		Margin     *float64 `json:"margin"`
		MarginUnit string   `json:"margin_unit"`
	} `json:"decided_by"`
	PH            *float64      `json:"ph"`
	WaterActivity *float64      `json:"water_activity"`
	ABVPercent    *float64      `json:"abv_percent"`
	DelleUnits    *float64      `json:"delle_units"`
	FlavourDays   *daysJSON     `json:"flavour_days"`
	Safe          *keptJSON     `json:"safe"`
	Best          *keptJSON     `json:"best"`
	Advised       *keptJSON     `json:"advised"`
	Since         string        `json:"since"`
	SinceAt       *string       `json:"since_at"`
	OpenedAt      *string       `json:"opened_at"`
	Changes       []changeJSON  `json:"changes"`
	Fades         []fadeJSON    `json:"fades"`
	House         []string      `json:"house"`
	Cautions      []cautionJSON `json:"cautions"`
	Confidence    string        `json:"confidence"`
	Measure       []string      `json:"measure"`
	Warnings      []string      `json:"warnings"`
}

// KeepJSON writes the keeping judgement as JSON. The high end of a length of
// time is null when microbes set no limit.
func KeepJSON(w io.Writer, a *bench.Assessment) error {
	v := &a.Keep.Verdict
	out := keepJSON{
		Batch: a.Batch.Name, Verdict: v.Verdict, Place: string(v.Place), AtC: v.AtC, Confidence: v.Confidence,
		Changes: []changeJSON{}, Fades: []fadeJSON{}, House: lines(a.Keep.House), Cautions: []cautionJSON{}, Measure: lines(a.Needs()), Warnings: lines(v.Warnings),
	}
	if v.Verdict != shelf.VerdictUnknown {
		out.UnopenedDays, out.OpenedDays = lengthOf(v.Unopened), lengthOf(v.Opened)
	}
	k := a.Keep
	out.Safe, out.Advised = keptOf(k.Where(), &k.Safe, k.Days(&k.Safe)), keptOf(string(k.Advised.Place), &k.Advised, k.Days(&k.Advised))
	if k.BestKnown {
		out.Best = keptOf(string(k.Best.Place), &k.Best, k.Days(&k.Best))
		out.FlavourDays = lengthOf(k.Best.Sealed)
	}
	if out.Advised != nil && k.Advised.Place == k.Safe.Place {
		out.Advised.Place = k.Where()
	}
	out.Since, out.SinceAt, out.OpenedAt = k.Since, clockOrNull(k.SinceAt), clockOrNull(k.OpenedAt)
	d := v.DecidedBy
	out.DecidedBy.Organism, out.DecidedBy.Hurdle, out.DecidedBy.MarginUnit = d.Organism, d.Hurdle, d.MarginUnit
	if d.Organism != "" || d.Hurdle != "" {
		out.DecidedBy.Margin = finite(d.Margin)
	}
	if a.Blend.Have() {
		r := &a.Blend.Result
		out.ABVPercent, out.WaterActivity = finite(r.ABVPercent.Value), finite(r.WaterActivity.Value)
		out.DelleUnits = finite(v.DelleUnits)
		if r.PHKnown {
			out.PH = finite(r.PH.Value)
		}
	}
	for _, c := range a.Changes() {
		j := changeJSON{Kind: c.Kind, Text: c.Text, Amount: c.Amount, Unit: c.Unit, Add: []portionJSON{}, ABVPercent: c.ABVPercent,
			SugarGPerL: c.SugarGPerL, Taste: c.Taste, Verdict: c.Then.Verdict, UnopenedDays: lengthOf(c.Then.Unopened)}
		for _, m := range c.Add {
			j.Add = append(j.Add, portionJSON{m.Name, m.VolumeML, m.MassG})
		}
		out.Changes = append(out.Changes, j)
	}
	for _, f := range a.Fades() {
		j := fadeJSON{Attribute: f.Attribute, Of: lines(f.Of), Published: f.Grade == "published" || f.Grade == "derived", What: "until it is noticed", Text: f.Text, Source: f.Source}
		if f.Known {
			j.Days = lengthOf(f.Time)
		}
		out.Fades = append(out.Fades, j)
	}
	for _, c := range v.Cautions {
		out.Cautions = append(out.Cautions, cautionJSON{c.Kind, c.Text, c.Source})
	}
	for _, m := range a.Keep.MustNot {
		out.Cautions = append(out.Cautions, cautionJSON{"hazard", "do not drink this: " + m, ""})
	}
	for _, al := range a.Keep.Allergens {
		name := al.US
		if name == "" {
			name = al.EU
		}
		if name == "" {
			name = al.Name
		}
		out.Cautions = append(out.Cautions, cautionJSON{"allergen", "contains " + strings.TrimPrefix(name, "contains "), al.Source})
	}
	return write(w, out)
}

// keptJSON is a place, the early day to which it keeps there, and the days.
type keptJSON struct {
	Place      string    `json:"place"`
	AtC        float64   `json:"at_c"`
	Until      *string   `json:"until"`
	Days       *daysJSON `json:"days"`
	OpenedDays *daysJSON `json:"opened_days"`
}

func keptOf(place string, k *bench.Kept, days shelf.Days) *keptJSON {
	if k.Place == "" {
		return nil
	}
	return &keptJSON{place, k.AtC, clockOrNull(k.Until), lengthOf(days), lengthOf(k.Opened)}
}

func lengthOf(d shelf.Days) *daysJSON { return &daysJSON{finite(d.Low), finite(d.High)} }

// finite is v, or null where v is open or undefined.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

func lines(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// write prints an answer; a number to ten figures, which leaves off what adding and
// multiplying added: 40 and not 40.00000000000004.
func write(w io.Writer, v any) error {
	var all bytes.Buffer
	e := json.NewEncoder(&all)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err
	}
	// For programs, the figures of a sentence stay metric.
	metric := []byte(quantity.Say(all.String(), quantity.Metric))
	_, err := w.Write(longNumber.ReplaceAllFunc(metric, func(number []byte) []byte {
		digits := bytes.TrimSuffix(number, []byte(","))
		x, err := strconv.ParseFloat(string(digits), 64)
		if err != nil {
			return number
		}
		x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
		short, _ := json.Marshal(x)
		return append(short, number[len(digits):]...)
	}))
	return err
}

// longNumber is a number with a point at the end of its line, where no text ends.
var longNumber = regexp.MustCompile(`(?m)-?\d+\.\d+(?:e[-+]?\d+)?,?$`)

// FilesJSON lists the files that were written.
func FilesJSON(w io.Writer, batch string, files []string) error {
	return write(w, struct {
		Batch string   `json:"batch"`
		Files []string `json:"files"`
	}{batch, files})
}

type causeOfSignJSON struct {
	Cause     string  `json:"cause"`
	Weight    float64 `json:"weight"`
	HowToTell string  `json:"how_to_tell"`
	WhatToDo  string  `json:"what_to_do"`
	ThrowAway bool    `json:"throw_away"`
	Source    string  `json:"source"`
}

// SignJSON writes the likely causes of something seen in a bottle.
func SignJSON(w io.Writer, a *bench.Assessment, sign string) error {
	out := struct {
		Batch  string            `json:"batch"`
		Sign   string            `json:"sign"`
		Causes []causeOfSignJSON `json:"causes"`
	}{a.Batch.Name, sign, []causeOfSignJSON{}}
	for _, c := range a.Sign(sign) {
		out.Causes = append(out.Causes, causeOfSignJSON{c.Name, c.Weight, c.HowToTell, c.WhatToDo, c.ThrowAway, c.Source})
	}
	return write(w, out)
}

// WorkingJSON writes what went in, as it is counted, and the rules of the
// keeping judgement.
func WorkingJSON(w io.Writer, a *bench.Assessment, lib *library.Library) error {
	inputs := a.Inputs()
	type input struct {
		Stage    string  `json:"stage"`
		Name     string  `json:"name"`
		Written  string  `json:"written"`
		How      string  `json:"how"`
		Source   string  `json:"source"`
		EthanolG float64 `json:"ethanol_g"`
		WaterG   float64 `json:"water_g"`
		SugarG   float64 `json:"sugar_g"`
		AcidG    float64 `json:"acid_g"`
		KeptML   float64 `json:"kept_ml"`
	}
	type rule struct {
		Rule      string  `json:"rule"`
		Figure    string  `json:"figure"`
		WorstCase float64 `json:"worst_case"`
		Limit     float64 `json:"limit"`
		Unit      string  `json:"unit"`
		Met       bool    `json:"met"`
		Text      string  `json:"text"`
		Source    string  `json:"source"`
	}
	out := struct {
		Batch  string  `json:"batch"`
		Inputs []input `json:"inputs"`
		Rules  []rule  `json:"rules"`
	}{a.Batch.Name, []input{}, []rule{}}
	for _, in := range inputs {
		q := in.Parts
		out.Inputs = append(out.Inputs, input{in.Stage, in.Name, in.Written, in.How, in.Source, q.Ethanol, q.Water, q.SugarG(), q.AcidG(), in.KeptML})
	}
	for _, r := range a.Keep.Verdict.Reasons {
		out.Rules = append(out.Rules, rule{r.Rule, r.Figure, r.WorstCase, r.Limit, r.Unit, r.Pass, r.Text, r.Source})
	}
	return write(w, out)
}

// TogetherJSON writes the timetable that strains everything at once.
func TogetherJSON(w io.Writer, a *bench.Assessment) error {
	plan := a.Together()
	if plan.NextJar {
		plan.Warnings = append([]string{conflict(a, plan.Conflict)}, plan.Warnings...)
	}
	type stay struct {
		Botanical string   `json:"botanical"`
		InH       *float64 `json:"in_h"`
		OutH      *float64 `json:"out_h"`
	}
	out := struct {
		Batch    string   `json:"batch"`
		NextJar  bool     `json:"next_jar"`
		TotalH   *float64 `json:"total_h"`
		Stays    []stay   `json:"stays"`
		Warnings []string `json:"warnings"`
	}{a.Batch.Name, plan.NextJar, finite(plan.TotalH), []stay{}, lines(plan.Warnings)}
	for _, s := range plan.Stays {
		out.Stays = append(out.Stays, stay{s.Name, finite(s.InH), finite(s.OutH)})
	}
	return write(w, out)
}
