// Package view holds what all answers share: the page, the names of fields, moments as one
// says them, faults. Each package below it words one question; none computes or decides.
package view

import (
	"io"
	"reflect"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/scale"
	"steepbook/cmd/internal/together"
	"steepbook/data/batch"
	"steepbook/kinetics"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
	"steepbook/shelf/remark"
)

// NewPage returns a page that writes to w.
func NewPage(w io.Writer, s pen.Style) *pen.Page { return pen.New(w, s, Written) }

// Gathered is an answer in its parts, for a page that lays it out itself.
func Gathered(s pen.Style, answer func(*pen.Page) error) ([]pen.Piece, error) {
	p := pen.Gather(s, Written)
	if err := answer(p); err != nil {
		return nil, err
	}
	return p.Pieces(), p.Done()
}

// Written says what of a type is an answer: see pen.Names.
var Written = pen.Names{
	reflect.TypeFor[pen.Estimate]():      "median=Value low high",
	reflect.TypeFor[kinetics.Interval](): "median low=P05 high=P95",
	reflect.TypeFor[kinetics.Wait]():     "median low=P05 high=P95",
	reflect.TypeFor[mixture.Range]():     "value low high",
	reflect.TypeFor[shelf.Days]():        "low high",
	reflect.TypeFor[mixture.Remark]():    "kind text source",
	reflect.TypeFor[mixture.Portion]():   "name amount_ml=VolumeML amount_g=MassG",
	reflect.TypeFor[mixture.Share]():     "cause cure share_of_variance=Fraction",
	reflect.TypeFor[mixture.Step]():      "step=Name what volume_ml abv_percent sugar_g_per_l",
	reflect.TypeFor[remark.Cause]():      "cause=Name weight how_to_tell what_to_do throw_away source",
	reflect.TypeFor[shelf.Reason]():      "rule figure worst_case limit unit met=Pass text source",
	reflect.TypeFor[shelf.Decision]():    "organism hurdle margin margin_unit",
	reflect.TypeFor[together.Stay]():     "botanical=Name in_h out_h",
	reflect.TypeFor[compare.Mixed]():     "flavours changes",
	reflect.TypeFor[scale.Purchase](): "item abv_percent? amounts volume_ml? mass_g? fruit " +
		"spare fruit_g? bottles",
	reflect.TypeFor[scale.Bottles](): "size_ml count left_ml",
	reflect.TypeFor[prior.Lesson]():  "botanical cut " + lessonFields,
	reflect.TypeFor[prior.Taught](): "botanical=Name cut=CutName " + lessonFields +
		" files next_jar_rate_per_h~=NextPerH library_plateau~ state why paste teachers_not_in_book=Gone",
	reflect.TypeFor[batch.Key](): "table name example takes",
	reflect.TypeFor[bench.Change](): "kind text amount unit add to_ml=OfML? abv_percent sugar_g_per_l taste " +
		"verdict=Then.Verdict unopened_days=Then.Unopened",
	reflect.TypeFor[book.Wrong](): "file problem",
	reflect.TypeFor[Checked]():    "file batch=Name problem danger hints",
}

const lessonFields = "batches tastings rate_per_h~ library_rate_per_h~=Library plateau~ " +
	"four_fifths_h~=ReadyH dose_g_per_l? own_share_of_rate=OwnRate own_share_of_plateau=OwnPlateau warnings"

// Files lists the files that were written.
func Files(p *pen.Page, batch string, files []string) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("batch", batch), pen.As("files", files)})
	}
	for _, f := range files {
		p.Line("wrote %s", f)
	}
	return p.Done()
}

// NotWritten says that the maker did not want it.
func NotWritten(p *pen.Page, file string) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("files", []string(nil))})
	}
	p.Line("Nothing was written to %s.", file)
	return p.Done()
}
