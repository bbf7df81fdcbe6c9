using System.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>The units that logs use, with all spellings found in headers.</summary>
internal static class UnitTable
{
    /// <summary>Standard gravity, exact (SI Brochure; also the resolution of the 3rd CGPM, 1901).</summary>
    internal const double GravityMps2 = 9.80665;

    private const double RadPerDeg = Math.PI / 180;

    internal static readonly Unit Second = new("s", UnitKind.Time, 1);
    internal static readonly Unit Millisecond = new("ms", UnitKind.Time, 1e-3);
    internal static readonly Unit Microsecond = new("µs", UnitKind.Time, 1e-6);
    internal static readonly Unit Nanosecond = new("ns", UnitKind.Time, 1e-9);
    internal static readonly Unit Mps2 = new("m/s²", UnitKind.Acceleration, 1);
    internal static readonly Unit G = new("g", UnitKind.Acceleration, GravityMps2);
    internal static readonly Unit MilliG = new("mg", UnitKind.Acceleration, GravityMps2 / 1000);
    internal static readonly Unit MicroG = new("µg", UnitKind.Acceleration, GravityMps2 / 1e6);
    internal static readonly Unit Gal = new("cm/s²", UnitKind.Acceleration, 0.01);
    internal static readonly Unit MilliMps2 = new("mm/s²", UnitKind.Acceleration, 0.001);

    // A foot is 0.3048 m exactly (1959 agreement; NIST SP 811, appendix B).
    internal static readonly Unit FootPerS2 = new("ft/s²", UnitKind.Acceleration, 0.3048);
    internal static readonly Unit RadPerS = new("rad/s", UnitKind.AngularRate, 1);
    internal static readonly Unit MilliradPerS = new("mrad/s", UnitKind.AngularRate, 1e-3);
    internal static readonly Unit DegPerS = new("deg/s", UnitKind.AngularRate, RadPerDeg);
    internal static readonly Unit MillidegPerS = new("mdeg/s", UnitKind.AngularRate, RadPerDeg / 1000);
    internal static readonly Unit CentidegPerS = new("cdeg/s", UnitKind.AngularRate, RadPerDeg / 100);
    internal static readonly Unit DecidegPerS = new("ddeg/s", UnitKind.AngularRate, RadPerDeg / 10);
    internal static readonly Unit Rpm = new("rpm", UnitKind.RotorSpeed, 1);
    internal static readonly Unit Krpm = new("krpm", UnitKind.RotorSpeed, 1000);
    internal static readonly Unit ERpm = new("eRPM", UnitKind.RotorSpeed, 1) { IsElectrical = true };
    internal static readonly Unit ERpm100 = new("100 eRPM", UnitKind.RotorSpeed, 100) { IsElectrical = true };
    internal static readonly Unit Hertz = new("Hz", UnitKind.RotorSpeed, 60);
    internal static readonly Unit EHertz = new("Hz electrical", UnitKind.RotorSpeed, 60) { IsElectrical = true };
    internal static readonly Unit RotorRadPerS = new("rad/s", UnitKind.RotorSpeed, 60 / (2 * Math.PI));
    internal static readonly Unit RotorDegPerS = new("deg/s", UnitKind.RotorSpeed, 1.0 / 6);
    internal static readonly Unit Percent = new("%", UnitKind.Share, 0.01);
    internal static readonly Unit Permille = new("‰", UnitKind.Share, 0.001);
    internal static readonly Unit Thousands2 = new("0..2000", UnitKind.Share, 1.0 / 2000);
    internal static readonly Unit Share = new("0..1", UnitKind.Share, 1);

    // Pulses of 1000 to 2000 µs mean stop to full: common practice.
    internal static readonly Unit PulseMicroseconds = new("µs pulse", UnitKind.PulseWidth, 1e-3, -1);
    internal static readonly Unit PulseMilliseconds = new("ms pulse", UnitKind.PulseWidth, 1, -1);
    internal static readonly Unit PulseNanoseconds = new("ns pulse", UnitKind.PulseWidth, 1e-6, -1);
    internal static readonly Unit Celsius = new("°C", UnitKind.Temperature, 1);

    // °F = 32 + 9/5 °C exactly (Abramowitz and Stegun, table 2.5).
    internal static readonly Unit Fahrenheit = new("°F", UnitKind.Temperature, 5.0 / 9, -160.0 / 9);
    internal static readonly Unit Kelvin = new("K", UnitKind.Temperature, 1, -273.15);
    internal static readonly Unit DeciCelsius = new("0.1 °C", UnitKind.Temperature, 0.1);
    internal static readonly Unit CentiCelsius = new("0.01 °C", UnitKind.Temperature, 0.01);
    internal static readonly Unit MilliCelsius = new("m°C", UnitKind.Temperature, 0.001);
    internal static readonly Unit Ampere = new("A", UnitKind.Current, 1);
    internal static readonly Unit Milliampere = new("mA", UnitKind.Current, 1e-3);
    internal static readonly Unit Centiampere = new("0.01 A", UnitKind.Current, 1e-2);
    internal static readonly Unit Volt = new("V", UnitKind.Voltage, 1);
    internal static readonly Unit Millivolt = new("mV", UnitKind.Voltage, 1e-3);
    internal static readonly Unit Centivolt = new("0.01 V", UnitKind.Voltage, 1e-2);
    internal static readonly Unit Metre = new("m", UnitKind.Length, 1);
    internal static readonly Unit Centimetre = new("cm", UnitKind.Length, 0.01);
    internal static readonly Unit Millimetre = new("mm", UnitKind.Length, 0.001);
    internal static readonly Unit Foot = new("ft", UnitKind.Length, 0.3048);
    internal static readonly Unit RawCounts = new("counts", UnitKind.Counts, 1);

    private static readonly Dictionary<string, Unit[]> Spellings = Build();

    /// <summary>Units that a piece of text may mean; empty when it is none.</summary>
    internal static IReadOnlyList<Unit> Find(string text) =>
        text.Length is > 0 and <= 40 && Spellings.TryGetValue(Normalise(text), out Unit[]? units) ? units : [];

    /// <summary>The unit that a piece of text means for a column of that quantity; null when it is none.</summary>
    internal static Unit? Find(string text, Quantity quantity) => Find(text).FirstOrDefault(u => Fits(u, quantity));

    internal static bool Fits(Unit unit, Quantity quantity) =>
        quantity switch
        {
            Quantity.Time => unit.Kind == UnitKind.Time,
            Quantity.Acceleration => unit.Kind is UnitKind.Acceleration or UnitKind.Counts,
            Quantity.Rate => unit.Kind is UnitKind.AngularRate or UnitKind.Counts,
            Quantity.RotorSpeed => unit.Kind == UnitKind.RotorSpeed,
            Quantity.Command => unit.Kind is UnitKind.Share or UnitKind.PulseWidth,
            Quantity.MotorTemp or Quantity.EscTemp or Quantity.Ambient => unit.Kind == UnitKind.Temperature,
            Quantity.Current => unit.Kind == UnitKind.Current,
            Quantity.Voltage or Quantity.BatteryVoltage => unit.Kind == UnitKind.Voltage,
            Quantity.Height => unit.Kind == UnitKind.Length,
            _ => false,
        };

    /// <summary>Lower case, without blanks, with one spelling for powers and special signs.</summary>
    internal static string Normalise(string text)
    {
        var folded = new StringBuilder(text.Length);
        foreach (char c in text.Trim().ToLowerInvariant())
        {
            switch (c)
            {
                case '²':
                    folded.Append('2');
                    break;
                case '³':
                    folded.Append('3');
                    break;
                case '°' or 'º' or '˚':
                    folded.Append("deg");
                    break;
                case 'µ' or 'μ':
                    folded.Append('u');
                    break;
                case '⁻' or '−':
                    folded.Append('-');
                    break;
                case '¹':
                    folded.Append('1');
                    break;
                case '^' or '*' or '·' or '⋅' or ' ' or '.' or '\u00a0':
                    break;
                default:
                    folded.Append(c);
                    break;
            }
        }

        return folded
            .ToString()
            .Replace("percent", "pct", StringComparison.Ordinal)
            .Replace("permille", "‰", StringComparison.Ordinal)
            .Replace("ampere", "amp", StringComparison.Ordinal)
            .Replace("per", "/", StringComparison.Ordinal)
            .Replace("_", "", StringComparison.Ordinal);
    }

    private static Dictionary<string, Unit[]> Build()
    {
        var table = new Dictionary<string, Unit[]>();
        void Add(string spellings, params Unit[] units)
        {
            foreach (string spelling in spellings.Split(' '))
            {
                table[Normalise(spelling)] = units;
            }
        }

        Add("s sec secs second seconds sekunden secondes segundos secondi seconden", Second);
        Add("ms msec msecs milli millis millisecond milliseconds", Millisecond, PulseMilliseconds);
        Add("us usec usecs micro micros microsecond microseconds uspulse", Microsecond, PulseMicroseconds);
        Add("ns nsec nsecs nano nanos nanosecond nanoseconds", Nanosecond, PulseNanoseconds);
        Add("m/s2 m/s/s m/ss mps2 ms2 ms-2 m/sec2 m/(s2) metre/s2 meter/s2 metres/s2 meters/s2 mss mpss mpers2 m/second2 mpsps", Mps2);
        Add("g gs gn g0 gee gees gforce", G);
        Add("mg mgs millig mgn milligs", MilliG);
        Add("ug microg", MicroG);
        Add("cm/s2 cms-2 gal cmps2 cms2", Gal);
        Add("mm/s2 mmps2 mms-2 milligal100", MilliMps2);
        Add("ft/s2 ftps2 fts-2", FootPerS2);
        Add(
            "rad/s rads rads-1 radps rad/sec radsec radians/s radians/second radian/s radianspsec radianss radpersec",
            RadPerS,
            RotorRadPerS
        );
        Add("mrad/s mradps mrads mrads-1", MilliradPerS);
        Add(
            "deg/s degs degs-1 degps dps deg/sec degsec degree/s degrees/s degrees/second degree/second degreess degpersec degrees/sec",
            DegPerS,
            RotorDegPerS
        );
        Add("mdeg/s mdps mdegps mdegs mdegs-1 millideg/s millidegs/s millidegree/s millidegrees/s", MillidegPerS);
        Add("cdeg/s cdps cdegps cdegs centideg/s", CentidegPerS);
        Add("ddeg/s ddps ddegs decideg/s", DecidegPerS);
        Add(
            "rpm r/min rev/min revs/min revolutions/minute 1/min min-1 /min u/min upm rmin mechrpm rpmmech mechanicalrpm rev/minute "
                + "tr/min tours/min giri/min obr/min omw/min varv/min rot/min",
            Rpm
        );
        Add("krpm kilorpm 1000rpm rpmx1000 1000/min", Krpm);
        Add("erpm electricalrpm elrpm rpmel rpmelec erev/min electricrpm e/min erpms", ERpm);
        Add("100erpm erpm100 erpmx100 erpm/100 hecto-erpm", ERpm100);
        Add("kerpm", new Unit("krpm electrical", UnitKind.RotorSpeed, 1000) { IsElectrical = true });
        Add("hz hertz 1/s s-1 rev/s revs/s rps r/s revolutions/second", Hertz);
        Add("ehz hzel", EHertz);
        Add("% pct percent prozent perc pc", Percent);
        Add("‰ promille", Permille);
        Add("0..2000", Thousands2);
        Add("0..1 01 0-1 norm normalised normalized ratio fraction frac unitless 0to1", Share);
        Add("degc c celsius degcelsius degreec degreesc degreecelsius degreescelsius ℃", Celsius);
        Add("degf f fahrenheit degfahrenheit degreef degreesf ℉", Fahrenheit);
        Add("k kelvin degk kelvins", Kelvin);
        Add("ddegc decic dc 0degc", DeciCelsius);
        Add("cdegc centic", CentiCelsius);
        Add("mdegc millic mc", MilliCelsius);
        Add("a amp amps ampere amperes", Ampere);
        Add("ma milliamp milliamps milliampere milliamperes", Milliampere);
        Add("ca centiamp centiamps", Centiampere);
        Add("v volt volts", Volt);
        Add("mv millivolt millivolts", Millivolt);
        Add("cv centivolt centivolts", Centivolt);
        Add("m metre metres meter meters", Metre);
        Add("cm centimetre centimetres centimeter centimeters", Centimetre);
        Add("mm millimetre millimetres millimeter millimeters", Millimetre);
        Add("ft foot feet", Foot);
        Add("lsb lsbs count counts digit digits cnt", RawCounts);
        return table;
    }
}
