package web

import (
	"net/http"
	"path/filepath"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/bookshelf"
)

// listPage is the book of today.
type listPage struct {
	frame
	Say, Danger, Wrong []string
	// Stop are the batches of Danger, Folded where they are many.
	Stop, Folded, Rows, Finished, Rest []listRow
}

// listRow is a line of the book that leads to its batch.
type listRow struct {
	When, Name, What, Address string
	Now, Danger               bool // it wants somebody now; something in it can hurt
}

func (s *server) list(w http.ResponseWriter, _ *http.Request) {
	st, bad := s.standing()
	if bad != nil {
		s.refuse(w, bad.status, bad.problem)
		return
	}
	shelf := st.Shelf()
	if s.Units != nil {
		shelf.Units = *s.Units
	}
	style := pen.Style{Units: shelf.Units, Forms: true}
	p := listPage{frame: frame{Title: "The book", Home: true}}
	for _, x := range shelf.Wrong {
		p.Wrong = append(p.Wrong, style.Say("%s", x.Problem))
	}
	if len(shelf.Batches) > 0 {
		screen := bookshelf.Lead(shelf, true, style).Said(style.Units)
		p.Say, p.Danger = screen.Say, screen.Danger
	}
	shown := map[string]bool{}
	for _, r := range bookshelf.Rows(shelf, style) {
		file := filepath.Base(r.Glance.Assessment.Batch.File)
		row := listRow{r.When, r.Name, r.What, address(file), r.Glance.Due.Overdue, r.Danger}
		if shown[row.Address] = true; r.Glance.Stage == due.Finished {
			row.When, row.Now = "", false
			p.Finished = append(p.Finished, row)
		} else {
			p.Rows = append(p.Rows, row)
		}
	}
	for i := range shelf.Batches { // what is said above, and what nothing is due of
		b := shelf.Batches[i].Assessment.Batch
		row := listRow{Name: shelf.Batches[i].Title(), Address: address(filepath.Base(b.File))}
		switch {
		case shown[row.Address]:
		case shelf.Batches[i].Due.Overdue:
			row.Now = true
			p.Stop = append(p.Stop, row)
		default:
			p.Rest = append(p.Rest, row)
		}
	}
	if len(p.Stop) > bookshelf.MostNamed+1 {
		p.Stop, p.Folded = nil, p.Stop
	}
	s.page(w, http.StatusOK, "list", &p)
}
