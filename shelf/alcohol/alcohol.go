// Package alcohol holds the density of ethanol and water mixed, and what
// follows from it: strength by volume and by mass, contraction on mixing, and
// proof.
package alcohol

// EthanolDensity20 and WaterDensity20 are the densities in kg/m3 of pure
// ethanol and pure water at 20 °C that belong to the formula of Density.
const (
	EthanolDensity20 = 789.2391233
	WaterDensity20   = 998.20123
)

// Coefficients of the density formula. Source: International Organization of
// Legal Metrology, International Recommendation R 22, International
// Alcoholometric Tables (1975); the same formula stands in Council Directive
// 76/766/EEC, OJ L 262, 27.9.1976, p. 149, annex section 4.
var (
	coefA = [12]float64{
		998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
		306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
	}
	coefB = [6]float64{
		-0.20618513, -0.0052682542, 3.6130013e-05, -3.8957702e-07, 7.169354e-09, -9.9739231e-11,
	}
	coefC = [5][]float64{
		{
			0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792,
			3924.090430035045, -12101.64659068747, 22486.46550400788, -26055.62982188164,
			18523.73922069467, -7420.201433430137, 1285.617841998974,
		},
		{
			-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029,
			-50.29988758547014, 109.635566657757, -142.2753946421155, 108.043594285623,
			-44.14153236817392, 7.442971530188783,
		},
		{
			-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922,
			-2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461,
			-0.5411227621436812,
		},
		{
			4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06,
		},
		{
			-2.788074354782409e-08, 1.345612883493354e-08,
		},
	}
)

// Density is the density in kg/m3 of ethanol and water at tC °C (-20 to 40,
// while liquid); p is the mass fraction of ethanol, 0 to 1.
//
//	ρ = Σ A_k p^(k-1) + Σ B_k (t-20)^k + Σ_i Σ_k C_i,k p^k (t-20)^i
//
// Arguments outside those ranges are taken as the nearer end: a polynomial of
// the eleventh degree must not be followed outside. Accuracy against tabulated
// measurements: 0.13 kg/m3.
//
// Source: OIML R 22 (1975), see the coefficients.
func Density(p, tC float64) float64 {
	p = min(max(p, 0), 1)
	u := min(max(tC, -20), 40) - 20
	rho := Horner(coefA[:], p)
	if u == 0 { // nearly always, and nothing of the rest is left
		return rho
	}
	rho += u * Horner(coefB[:], u)
	ui := 1.0
	for _, c := range coefC {
		ui *= u
		rho += ui * p * Horner(c, p)
	}
	return rho
}

// Horner evaluates c[0] + c[1] x + c[2] x² + …, by the method of that name.
func Horner(c []float64, x float64) float64 {
	s := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		s = s*x + c[i]
	}
	return s
}

// ABVPercent is the strength in % vol (volumes at 20 °C) of a mixture with
// the mass fraction p of ethanol, 0 to 1: q = p ρ(p,20)/ρ(1,20).
func ABVPercent(p float64) float64 {
	p = min(max(p, 0), 1)
	return 100 * p * Density(p, 20) / EthanolDensity20
}

// MassFraction is the mass fraction of ethanol, 0 to 1, in an ethanol-water
// mixture of abvPercent % vol (volumes at 20 °C). Values outside 0 to 100 are
// taken as the nearer end. It inverts ABVPercent to better than 1e-12.
func MassFraction(abvPercent float64) float64 {
	if !(abvPercent > 0) {
		return 0
	}
	if abvPercent >= 100 {
		return 1
	}
	// ABVPercent rises steadily with p, so halving cannot go wrong.
	lo, hi := 0.0, 1.0
	for range 60 {
		mid := (lo + hi) / 2
		if ABVPercent(mid) < abvPercent {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
