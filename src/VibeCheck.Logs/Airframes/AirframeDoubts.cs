using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Airframes;

/// <summary>Asks about parts of an airframe file that contradict each other or are hardly ever so. Nothing here stops the file from being
/// used.</summary>
internal static class AirframeDoubts
{
    private const double Gravity = 9.80665;

    // Thrust over a circle as wide as the arm is long: 3 N/m² for a slow large quad, 100 N/m² for a small heavy one (common practice).
    private const double LeastLoadingPa = 0.5;
    private const double MostLoadingPa = 1000;

    // Bolt circles are round or nearly so: of common mounts the longest is 19 by 12 mm.
    private const double MostSpanRatio = 3;
    private const double MostArmRatio = 3;

    // Rotors nearer to each other than this would touch, whatever their size, on arms of one length.
    private const double NearestArmsDeg = 10;

    /// <summary>What to ask, each with its line, worded as a remark.</summary>
    /// <param name="airframe">The airframe as it was read.</param>
    /// <param name="sheet">Its file.</param>
    /// <param name="motors">Its motor sections, one for each motor.</param>
    internal static IEnumerable<string> Of(Airframe airframe, TomlSheet sheet, TomlSection[] motors) =>
        Spins(airframe, motors)
            .Concat(Pairs(airframe, motors))
            .Concat(Arms(airframe, motors))
            .Concat(Rotors(airframe, motors))
            .Concat(Mass(airframe, sheet))
            .Concat(Mounts(airframe, sheet));

    private static IEnumerable<string> Spins(Airframe a, TomlSection[] motors)
    {
        int n = a.Motors.Count,
            clockwise = a.Motors.Count(m => m.Spin == Spin.Clockwise);
        if (n > 1 && (clockwise == 0 || clockwise == n))
        {
            string way = clockwise == 0 ? "ccw" : "cw";
            yield return At(motors[0], "spin", $"all {n} motors turn {way}, so nothing balances their torque: is every spin right?");
        }
        else if (n % 2 == 0 && clockwise * 2 != n)
        {
            yield return At(motors[0], "spin", $"of {n} motors {clockwise} turn cw and {n - clockwise} ccw: is every spin right?");
        }
    }

    private static IEnumerable<string> Pairs(Airframe a, TomlSection[] motors)
    {
        for (int i = 0; i < a.Motors.Count; i++)
        {
            Motor m = a.Motors[i];
            if (m.Level == MotorLevel.Single)
            {
                continue;
            }

            Motor? other = a.Motors.FirstOrDefault(o => o.Level is not MotorLevel.Single && o.Level != m.Level && AngleDeg(o, m) < 1);
            (string word, string missing) = m.Level == MotorLevel.Upper ? ("an upper", "lower") : ("a lower", "upper");
            if (other is null)
            {
                yield return At(motors[i], "level", $"{m.Id} is {word} motor, but no {missing} one stands on its arm: is it single?");
            }
            else if (m.Level == MotorLevel.Upper && other.Spin == m.Spin)
            {
                yield return At(
                    motors[i],
                    "spin",
                    $"{m.Id} and {other.Id} are one above the other and turn the same way: is one spin wrong?"
                );
            }
        }
    }

    private static IEnumerable<string> Arms(Airframe a, TomlSection[] motors)
    {
        int n = a.Motors.Count;
        Motor longest = a.Motors.MaxBy(m => m.ArmM)!,
            shortest = a.Motors.MinBy(m => m.ArmM)!;
        if (longest.ArmM > MostArmRatio * shortest.ArmM)
        {
            double times = longest.ArmM / shortest.ArmM;
            yield return At(
                motors[Index(a, longest)],
                "arm_m",
                $"{longest.Id}'s arm of {longest.ArmM} m is {times:0.#} times as long as {shortest.Id}'s: is one in another unit?"
            );
        }

        for (int i = 0; i < n; i++)
        {
            Motor m = a.Motors[i];
            int near = Enumerable
                .Range(0, i)
                .FirstOrDefault(j => a.Motors[j].Level == m.Level && AngleDeg(m, a.Motors[j]) < NearestArmsDeg, -1);
            if (near >= 0)
            {
                yield return At(
                    motors[i],
                    "azimuth_deg",
                    $"the arms of {a.Motors[near].Id} and {m.Id} are {AngleDeg(m, a.Motors[near]):0.#}° apart: is one azimuth_deg wrong?"
                );
            }
        }

        // Lift from one side only cannot hover: most often angles in radians, or counted from each other.
        double x = a.Motors.Average(m => m.ArmM * Math.Cos(double.DegreesToRadians(m.AzimuthDeg)));
        double y = a.Motors.Average(m => m.ArmM * Math.Sin(double.DegreesToRadians(m.AzimuthDeg)));
        if (n > 2 && Math.Sqrt(x * x + y * y) > 0.5 * a.Motors.Average(m => m.ArmM))
        {
            yield return At(
                motors[0],
                "azimuth_deg",
                $"the motors all stand to one side of the hub: is every azimuth_deg in degrees clockwise from the nose?"
            );
        }
    }

    private static IEnumerable<string> Rotors(Airframe a, TomlSection[] motors)
    {
        for (int i = 0; i < a.Motors.Count; i++)
        {
            Motor m = a.Motors[i],
                first = a.Motors[0];
            if (m.Blades == 1)
            {
                yield return At(motors[i], "blades", $"{m.Id} has one blade: is that so?");
            }
            else if (m.Blades != first.Blades && first.Blades != 1)
            {
                yield return At(motors[i], "blades", $"{m.Id} has {m.Blades} blades and {first.Id} has {first.Blades}: is that so?");
            }

            if (m.PolePairs is int pairs && pairs is < 3 or > 32)
            {
                yield return At(
                    motors[i],
                    "pole_pairs",
                    $"{m.Id} has {pairs} pole pairs, which is rare: is it half the number of magnets in the bell?"
                );
            }
            else if (m.PolePairs != first.PolePairs && m.PolePairs is int other && first.PolePairs is int firstPairs)
            {
                yield return At(
                    motors[i],
                    "pole_pairs",
                    $"{m.Id} has {other} pole pairs and {first.Id} has {firstPairs}: are the motors different?"
                );
            }
        }
    }

    private static IEnumerable<string> Mass(Airframe a, TomlSheet sheet)
    {
        if (a.MassKg is double massKg)
        {
            double areaM2 = a.Motors.Sum(m => Math.PI * m.ArmM * m.ArmM),
                loading = massKg * Gravity / areaM2;
            if (loading is < LeastLoadingPa or > MostLoadingPa)
            {
                string word = loading > MostLoadingPa ? "much" : "little";
                double armM = a.Motors.Average(m => m.ArmM);
                yield return At(
                    sheet.Root,
                    "mass_kg",
                    $"{massKg} kg is {word} for arms of {armM:0.###} m: is the mass in kg and are the arms in metres?"
                );
            }
        }
    }

    private static IEnumerable<string> Mounts(Airframe a, TomlSheet sheet)
    {
        if (sheet.Section("bolts") is TomlSection bolts && a.Bolts is BoltPattern pattern)
        {
            foreach ((string key, string because) in Unused(bolts))
            {
                yield return At(bolts, key, $"'{key}' is not used, because {because}: which of the two is right?");
            }

            double across = pattern.AcrossSpanMm,
                along = pattern.AlongSpanMm,
                longer = Math.Max(across, along),
                shorter = Math.Min(across, along);
            if (!pattern.InOneLine && longer > MostSpanRatio * shorter)
            {
                yield return At(
                    bolts,
                    bolts.Has("along_mm") ? "along_mm" : "places_mm",
                    $"the bolts lie {across:0.##} mm across and {along:0.##} mm along the arm: is one of them wrong?"
                );
            }

            if (bolts.Text("pattern")?.Trim().ToLowerInvariant() == "square" && Math.Abs(across - along) > 0.1 && !bolts.Has("turn_deg"))
            {
                yield return At(
                    bolts,
                    "pattern",
                    $"a square pattern measures {across:0.##} mm across and {along:0.##} mm along the arm: is it a rectangle?"
                );
            }
        }

        if (
            sheet.Section("shim_kit") is TomlSection kit
            && a.ShimKit is ShimKit shims
            && shims.ThicknessesMm.Distinct().Count() < shims.ThicknessesMm.Count
        )
        {
            yield return At(
                kit,
                kit.Has("thickness_mm") ? "thickness_mm" : "thickness_in",
                $"a thickness is listed twice: is one of them a typing error, or a decimal comma?"
            );
        }

        if (sheet.Section("screws") is TomlSection section && a.Screws is MountScrews screws && screws.ClampedMm >= screws.LengthMm)
        {
            yield return At(
                section,
                "clamped_mm",
                $"a screw of {screws.LengthMm} mm does not reach through {screws.ClampedMm} mm: is one of them wrong?"
            );
        }
    }

    /// <summary>Keys of the bolts that the pattern, or the places, leave without a say.</summary>
    private static IEnumerable<(string Key, string Because)> Unused(TomlSection bolts)
    {
        string pattern = bolts.Text("pattern")?.Trim().ToLowerInvariant() ?? "rectangle";
        bool places = bolts.Has("places_mm") || bolts.Has("places_in");
        string[] used = places
            ? []
            : pattern switch
            {
                "rectangle" or "square" => ["across", "along"],
                "cross" => ["across", "along", "circle"],
                "three" => ["circle"],
                "two" => ["across", "along"],
                _ => [],
            };
        string because = places ? "the places of the bolts are listed" : $"the pattern is {TomlSheet.Cut(pattern)}";
        foreach (string name in (string[])["across", "along", "circle"])
        {
            (string mm, string inch) = (name + "_mm", name + "_in");
            if (bolts.Has(mm) && bolts.Has(inch))
            {
                yield return (inch, $"{mm} is given too");
            }
            else if (!used.Contains(name) && (bolts.Has(mm) || bolts.Has(inch)))
            {
                yield return (bolts.Has(mm) ? mm : inch, because);
            }
        }

        if (
            pattern == "cross"
            && !places
            && bolts.Has("across_mm")
            && bolts.Has("along_mm")
            && (bolts.Has("circle_mm") || bolts.Has("circle_in"))
        )
        {
            yield return (bolts.Has("circle_mm") ? "circle_mm" : "circle_in", "across_mm and along_mm are given");
        }

        if (places && bolts.Has("pattern"))
        {
            yield return ("pattern", because);
        }
    }

    private static int Index(Airframe a, Motor motor) => a.Motors.TakeWhile(m => m != motor).Count();

    private static double AngleDeg(Motor a, Motor b) => Math.Abs(Math.IEEERemainder(a.AzimuthDeg - b.AzimuthDeg, 360));

    private static string At(TomlSection section, string key, FormattableString question) =>
        string.Create(CultureInfo.InvariantCulture, $"line {section.LineOf(key)}: {question.ToString(CultureInfo.InvariantCulture)}");
}
