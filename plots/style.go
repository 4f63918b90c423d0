package plots

import (
	"image/color"
	"math"
)

// style is the look of a picture; start from usualStyle.
type style struct {
	WidthPt       float64 // width of the picture in points (1/72 inch), at least 240
	PixelsPerInch float64 // resolution of PNG; 192 is two pixels for each of a 96 DPI screen
	TitlePt       float64 // size of the title
	NamePt        float64 // size of a panel's name and of region names
	TextPt        float64 // size of labels and tick labels
	Palette       palette
}

// palette holds the colours by what they stand for.
type palette struct {
	Paper  color.RGBA   // background
	Ink    color.RGBA   // titles, names, "now"
	Muted  color.RGBA   // axes, notes, captions
	Grid   color.RGBA   // grid lines
	Wanted color.RGBA   // a flavour that is sought
	Watch  color.RGBA   // a taste to keep low
	Window color.RGBA   // the time to pull
	Series []color.RGBA // the qualities of a Fade, in turn
	Zones  []color.RGBA // regions of the keeping map by their Tone, before tinting
}

// Okabe and Ito's eight colours, as printed in Wong, "Points of view: Color
// blindness", Nature Methods 8:441 (2011).
var (
	okabeBlack   = color.RGBA{0x00, 0x00, 0x00, 0xff}
	okabeOrange  = color.RGBA{0xe6, 0x9f, 0x00, 0xff}
	okabeSky     = color.RGBA{0x56, 0xb4, 0xe9, 0xff}
	okabeGreen   = color.RGBA{0x00, 0x9e, 0x73, 0xff}
	okabeYellow  = color.RGBA{0xf0, 0xe4, 0x42, 0xff}
	okabeBlue    = color.RGBA{0x00, 0x72, 0xb2, 0xff}
	okabeVermill = color.RGBA{0xd5, 0x5e, 0x00, 0xff}
	okabePurple  = color.RGBA{0xcc, 0x79, 0xa7, 0xff}
)

// usualStyle is five inches wide and stays readable when the picture is
// shrunk to 400 pixels: its smallest text is then about ten pixels high.
func usualStyle() style {
	return style{
		WidthPt:       360,
		PixelsPerInch: 192,
		TitlePt:       13,
		NamePt:        10.5,
		TextPt:        9,
		Palette: palette{
			Paper:  color.RGBA{0xff, 0xff, 0xff, 0xff},
			Ink:    color.RGBA{0x22, 0x22, 0x22, 0xff},
			Muted:  color.RGBA{0x5f, 0x5f, 0x5f, 0xff},
			Grid:   color.RGBA{0xe4, 0xe4, 0xe4, 0xff},
			Wanted: okabeBlue,
			Watch:  okabeVermill,
			Window: okabeGreen,
			Series: []color.RGBA{okabeBlue, okabeVermill, okabeGreen, okabePurple, okabeOrange, okabeSky,
				okabeBlack},
			Zones: []color.RGBA{okabeSky, okabeYellow, okabeOrange, okabeVermill, okabePurple, okabeGreen},
		},
	}
}

// over gives c laid thinly over another colour: share 1 is c, share 0 is ground.
// The result is opaque, as all ink is.
func over(ground, c color.RGBA, share float64) color.RGBA {
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a)*share + float64(b)*(1-share))) }
	return color.RGBA{mix(c.R, ground.R), mix(c.G, ground.G), mix(c.B, ground.B), 0xff}
}

// minContrast is what WCAG 2.2, success criterion 1.4.3 (AA), asks of text.
const minContrast = 4.5

// inkOf darkens c until text in it is readable on the paper.
func (p palette) inkOf(c color.RGBA) color.RGBA {
	for i := 0; i < 20 && contrast(c, p.Paper) < minContrast; i++ {
		c = color.RGBA{uint8(float64(c.R) * 0.93), uint8(float64(c.G) * 0.93),
			uint8(float64(c.B) * 0.93), 0xff}
	}
	return c
}

// contrast is the contrast ratio of two colours, 1 to 21, as defined in
// WCAG 2.2, "contrast ratio" and "relative luminance".
func contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	if la < lb {
		la, lb = lb, la
	}
	return (la + 0.05) / (lb + 0.05)
}

func luminance(c color.RGBA) float64 {
	channel := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(c.R) + 0.7152*channel(c.G) + 0.0722*channel(c.B)
}
