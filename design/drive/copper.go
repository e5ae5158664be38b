package drive

// Zero is the temperature in °C, turned positive, at which copper extrapolates
// to no resistance: IEC 60028 (1925), 234.5 °C.
const Zero = 234.5

// Copper is the resistance of a copper winding at a temperature in °C over
// that at 20 °C, after IEC 60028:
//
//	R(T)/R20 = (234.5 + T) / 254.5
func Copper(celsius float64) float64 { return (Zero + celsius) / (Zero + 20) }
