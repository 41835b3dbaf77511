package paint

import (
	"image/color"
	"math"
)

// Ink is a colour without transparency; a zero A means none.
type Ink color.RGBA

// Clear tells whether there is no ink at all.
func (i Ink) Clear() bool { return i.A == 0 }

// RGB is an ink by its hexadecimal digits, as the web writes colours.
func RGB(hex uint32) Ink { return Ink{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255} }

// Darker is the ink with so much black in it, as a share.
func (i Ink) Darker(by float64) Ink {
	dim := func(v uint8) uint8 { return uint8(float64(v)*(1-by) + 0.5) }
	return Ink{dim(i.R), dim(i.G), dim(i.B), i.A}
}

// Lighter is the ink with so much white in it, as a share.
func (i Ink) Lighter(by float64) Ink {
	lift := func(v uint8) uint8 { return uint8(float64(v) + (255-float64(v))*by + 0.5) }
	return Ink{lift(i.R), lift(i.G), lift(i.B), i.A}
}

// PaperInk is the ground of a picture for a chat.
func PaperInk() Ink { return RGB(0xFAF4E8) }

// CardInk is the ground of a card on it.
func CardInk() Ink { return RGB(0xFFFDF8) }

// WhiteInk is the ground of a printed page.
func WhiteInk() Ink { return RGB(0xFFFFFF) }

// DarkInk is that of words and outlines.
func DarkInk() Ink { return RGB(0x3A302A) }

// QuietInk is that of what is said besides.
func QuietInk() Ink { return RGB(0x6E6256) }

// FaintInk is that of rules between paragraphs.
func FaintInk() Ink { return RGB(0xD5C8B3) }

// PanelInk is the ground of a panel in outline.
func PanelInk() Ink { return RGB(0xF1E8D6) }

// WoodInk is that of rods and beads.
func WoodInk() Ink { return RGB(0xD3AE7F) }

// GrainInk is that of their edges.
func GrainInk() Ink { return RGB(0xB98F5E) }

// AccentInk is that of labels, and of what is to be seen first.
func AccentInk() Ink { return RGB(0xA4472C) }

// luminance is the relative luminance of WCAG 2.2, from 0 to 1.
func luminance(i Ink) float64 {
	linear := func(c uint8) float64 {
		s := float64(c) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(i.R) + 0.7152*linear(i.G) + 0.0722*linear(i.B)
}

// Contrast is the contrast ratio of WCAG 2.2, from 1 to 21.
func Contrast(a, b Ink) float64 {
	high, low := max(luminance(a), luminance(b)), min(luminance(a), luminance(b))
	return (high + 0.05) / (low + 0.05)
}

// Lightness is CIE 1976 L*, from 0 to 100 (ISO/CIE 11664-4).
func Lightness(i Ink) float64 {
	y := luminance(i)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}
