package pen

import "testing"

// TestWhatIsCutStaysApart: two names that differ are never cut to one, and one is cut in the middle only where
// its beginning does not tell it.
func TestWhatIsCutStaysApart(t *testing.T) {
	const of = "Grandmother's winter coffee and orange cordial"
	for _, c := range []struct{ cell, want string }{
		{"short", "short"}, {"a long name that nobody else has here", "a long name that nobody…"},
		{of, "Grandmother's wi…cordial"}, {of + " 2", "Grandmother's…cordial 2"}, {of + ", x2", "Grandmother's winter…x2"},
		{of + ", coffee beans 90 g", "Grandmother's…beans 90 g"}, {of + ", coffee beans 100 g", "Grandmother's wint…100 g"},
		{"One long beginning of all, this in the middle of it, one end", "One long beginning of all, this in the middle of it, one end"},
		{"One long beginning of all, that in the middle of it, one end", "One long beginning of all, that in the middle of it, one end"},
		{"第一年冬天的咖啡橙子利口酒配方, 咖啡 90", "第一年冬天的咖啡…咖啡 90"}, {"第一年冬天的咖啡橙子利口酒配方, 咖啡 80", "第一年冬天的咖啡…咖啡 80"},
	} {
		cells := []string{"short", "a long name that nobody else has here", of, of + " 2", of + ", x2", of + ", coffee beans 90 g",
			of + ", coffee beans 100 g", "One long beginning of all, this in the middle of it, one end", "One long beginning of all, that in the middle of it, one end",
			"第一年冬天的咖啡橙子利口酒配方, 咖啡 90", "第一年冬天的咖啡橙子利口酒配方, 咖啡 80", of}
		if got := apart(cells, 24)[c.cell]; got != c.want || got != c.cell && columns(got) > 24 {
			t.Errorf("%s: %q, want %q", c.cell, got, c.want)
		}
	}
}
