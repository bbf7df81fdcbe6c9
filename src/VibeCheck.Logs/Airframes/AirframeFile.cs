using System.Globalization;
using VibeCheck.Core;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Airframes;

/// <summary>Reads airframe.toml.</summary>
public static class AirframeFile
{
    private const double MmPerInch = 25.4;
    private const int MostMotors = 64;
    private const int MostBolts = 64;
    private const int MostThicknesses = 100;
    private const double SmallestSpanMm = 1;
    private const double LargestSpanMm = 500;
    private const double LargestShimMm = 5;
    private const double LargestAngleDeg = 5;

    private static readonly string[] KnownSections = ["bolts", "shim_kit", "motor", "motor.bolts", "gauge", "screws"];

    /// <summary>Reads an airframe.</summary>
    /// <param name="path">Path as the user gave it.</param>
    /// <exception cref="InputFaultException">The file, or an entry in it, cannot be read; the fault gives line and column.</exception>
    public static Airframe Read(string path) => Of(TomlSheet.Read(path));

    /// <summary>Reads an airframe from text that is no file of this machine, such as one that was sent.</summary>
    /// <param name="text">The text of an airframe.toml.</param>
    /// <param name="name">Name to give in faults, such as "airframe.toml".</param>
    /// <exception cref="InputFaultException">An entry cannot be read; the fault gives line and column.</exception>
    public static Airframe ReadText(string text, string name) => Of(TomlSheet.ReadText(name, text));

    private static Airframe Of(TomlSheet sheet)
    {
        TomlSection[] motors = [.. sheet.Sections.Where(s => s.Name == "motor")];
        if (motors.Length == 0)
        {
            throw sheet.Root.Fault(
                null,
                "the airframe has no motors",
                "Add a [[motor]] section with id, azimuth_deg, arm_m and spin for each motor."
            );
        }

        if (motors.Length > MostMotors)
        {
            throw motors[MostMotors].Fault(null, $"the airframe has {motors.Length} motors", $"Give {MostMotors} or fewer.");
        }

        var airframe = new Airframe
        {
            Name = sheet.Root.Text("name") ?? Path.GetFileNameWithoutExtension(sheet.Path),
            MassKg = sheet.Root.Number("mass_kg", 0.005, 5000, " kg"),
            TorquePerThrustM = TorquePerThrust(sheet.Root),
            Bolts = sheet.Section("bolts") is TomlSection bolts ? BoltsOf(bolts) : null,
            ShimKit = sheet.Section("shim_kit") is TomlSection kit ? KitOf(kit) : null,
            Screws = sheet.Section("screws") is TomlSection screws ? ScrewsOf(screws) : null,
            Gauge = sheet.Section("gauge") is TomlSection gauge ? GaugeOf(gauge) : null,
            Motors = WithBolts(sheet, MotorsOf(motors)),
        };
        return airframe with { Remarks = [.. sheet.Unasked(KnownSections), .. AirframeDoubts.Of(airframe, sheet, motors)] };
    }

    /// <summary>A [motor.bolts] section belongs to the motor above it.</summary>
    private static List<Motor> WithBolts(TomlSheet sheet, List<Motor> motors)
    {
        int at = -1;
        foreach (TomlSection section in sheet.Sections)
        {
            if (section.Name == "motor")
            {
                at++;
            }
            else if (section.Name == "motor.bolts")
            {
                motors[at] =
                    at >= 0 && motors[at].Bolts is null
                        ? motors[at] with
                        {
                            Bolts = BoltsOf(section),
                        }
                        : throw section.Fault(
                            null,
                            at < 0
                                ? "[motor.bolts] stands before the first [[motor]]"
                                : $"motor {motors[at].Id} has two [motor.bolts] sections",
                            "Write [motor.bolts] once, below the motor that it is for."
                        );
            }
        }

        return motors;
    }

    private static double? TorquePerThrust(TomlSection root) =>
        root.Number("torque_per_thrust_m", double.Epsilon, double.MaxValue, " m") switch
        {
            double metres when metres is > 0.2 or < 0.0005 => throw root.Fault(
                "torque_per_thrust_m",
                string.Create(CultureInfo.InvariantCulture, $"a torque per thrust of {metres} m is not plausible"),
                "Give torque (N·m) over thrust (N): 0.01 to 0.03 m for most propellers."
            ),
            var other => other,
        };

    private static List<Motor> MotorsOf(TomlSection[] sections)
    {
        var motors = new List<Motor>();
        foreach (TomlSection s in sections)
        {
            string id = s.Text("id") is string { Length: > 0 } text
                ? text.Trim()
                : throw s.Fault("id", "a motor has no id", "Give it one, such as id = \"M1\".");
            if (motors.Any(m => string.Equals(m.Id, id, StringComparison.OrdinalIgnoreCase)))
            {
                throw s.Fault("id", $"two motors are called '{id}'", "Give each motor an id of its own.");
            }

            double azimuthDeg =
                s.Number("azimuth_deg", -360, 360, "°")
                ?? throw s.Fault(
                    null,
                    $"motor {id} has no azimuth_deg",
                    "Give the direction of its arm, degrees clockwise from the nose, seen from above."
                );
            double armM =
                s.Number("arm_m", double.Epsilon, double.MaxValue, " m")
                ?? throw s.Fault(
                    null,
                    $"motor {id} has no arm_m",
                    "Give the distance from the hub's centre to the motor's axis in metres."
                );
            if (armM is > 20 or < 0.01)
            {
                throw s.Fault(
                    "arm_m",
                    string.Create(CultureInfo.InvariantCulture, $"an arm of {armM} m is not plausible"),
                    "Give the distance from the hub's centre to the motor's axis in metres, not millimetres."
                );
            }

            motors.Add(new(id, azimuthDeg, armM, SpinOf(s, id), LevelOf(s), BladesOf(s), PolePairsOf(s)));
        }

        RequireFullPairs(sections, motors);
        return motors;
    }

    private static void RequireFullPairs(TomlSection[] sections, List<Motor> motors)
    {
        for (int i = 0; i < motors.Count; i++)
        {
            Motor m = motors[i];
            Motor? other = motors.Find(o => o != m && SameAzimuth(o, m) && Math.Abs(o.ArmM - m.ArmM) < 0.02);
            if (other is not null && (m.Level == MotorLevel.Single || m.Level == other.Level))
            {
                throw sections[i]
                    .Fault(
                        "level",
                        $"motors {m.Id} and {other.Id} share an arm but are not one upper and one lower",
                        "Write level = \"upper\" for one and level = \"lower\" for the other, or correct azimuth_deg or arm_m."
                    );
            }
        }
    }

    private static bool SameAzimuth(Motor a, Motor b) => Math.Abs(Math.IEEERemainder(a.AzimuthDeg - b.AzimuthDeg, 360)) < 1;

    private static Spin SpinOf(TomlSection s, string id) =>
        s.Text("spin")?.Trim().ToLowerInvariant() switch
        {
            "cw" => Spin.Clockwise,
            "ccw" => Spin.CounterClockwise,
            null => throw s.Fault(null, $"motor {id} has no spin", "Write spin = \"cw\" or spin = \"ccw\", as seen from above."),
            string other => throw s.Fault("spin", $"'{other}' under 'spin' is neither cw nor ccw", "Write cw or ccw, as seen from above."),
        };

    private static MotorLevel LevelOf(TomlSection s) =>
        s.Text("level")?.Trim().ToLowerInvariant() switch
        {
            null or "single" => MotorLevel.Single,
            "upper" => MotorLevel.Upper,
            "lower" => MotorLevel.Lower,
            string other => throw s.Fault("level", $"'{other}' under 'level' is not known", "Write single, upper or lower."),
        };

    private static int BladesOf(TomlSection s) =>
        s.Whole("blades", int.MinValue, int.MaxValue) switch
        {
            null => 2,
            int n and >= 1 and <= 12 => n,
            int n => throw s.Fault("blades", $"{n} blades are not plausible", "Give 1 to 12; leave it out for 2."),
        };

    private static int? PolePairsOf(TomlSection s) =>
        s.Whole("pole_pairs", int.MinValue, int.MaxValue) switch
        {
            null => null,
            int n and >= 1 and <= 100 => n,
            int n => throw s.Fault("pole_pairs", $"{n} pole pairs are not plausible", "Give half the number of magnets in the bell."),
        };

    private static ShimKit KitOf(TomlSection s)
    {
        IReadOnlyList<double>? mm = s.Numbers("thickness_mm", double.MinValue, double.MaxValue, MostThicknesses);
        IReadOnlyList<double>? inch = s.Numbers("thickness_in", double.MinValue, double.MaxValue, MostThicknesses);
        string key = mm is null && inch is not null ? "thickness_in" : "thickness_mm";
        IReadOnlyList<double> thicknesses =
            mm
            ?? inch?.Select(t => t * MmPerInch).ToArray()
            ?? throw s.Fault(null, "the shim kit lists no thicknesses", "Add thickness_mm = [0.1, 0.2, 0.3].");
        if (thicknesses.Count == 0)
        {
            throw s.Fault(
                key,
                "the shim kit is empty",
                "List the thicknesses at hand, such as [0.1, 0.2, 0.3], or leave the [shim_kit] section out to plan with those."
            );
        }

        if (thicknesses.FirstOrDefault(t => t is not (>= 0.005 and <= LargestShimMm), double.NaN) is double odd && !double.IsNaN(odd))
        {
            throw s.Fault(
                key,
                string.Create(CultureInfo.InvariantCulture, $"a shim of {odd} mm in the kit is not between 0.005 and 5 mm thick"),
                "Give each thickness in the unit of the key, decimals with a point: [0.1, 0.2]."
            );
        }

        int maxStack = s.Whole("max_stack", int.MinValue, int.MaxValue) ?? ShimKit.Usual.MaxStack;
        if (maxStack is < 1 or > 5)
        {
            throw s.Fault(
                "max_stack",
                $"a stack of {maxStack} is not between 1 and 5",
                "Give the most pieces that may lie under one bolt."
            );
        }

        IReadOnlyList<double>? counts = s.Numbers("count", 0, 1e6, MostThicknesses);
        if (counts is not null && (counts.Count != thicknesses.Count || counts.Any(c => c != Math.Floor(c))))
        {
            throw s.Fault(
                "count",
                "the counts do not fit the thicknesses",
                $"Give one whole number for each of the {thicknesses.Count} thicknesses."
            );
        }

        return new(thicknesses, maxStack) { Counts = counts?.Select(c => (int)c).ToArray() };
    }

    private static BoltPattern BoltsOf(TomlSection s)
    {
        string? pattern = s.Text("pattern")?.Trim().ToLowerInvariant();
        double? across = Length(s, "across"),
            along = Length(s, "along"),
            circle = Length(s, "circle"),
            turn = s.Number("turn_deg", -360, 360, "°");
        IReadOnlyList<(double, double)>? places =
            s.Pairs("places_mm", -LargestSpanMm, LargestSpanMm, MostBolts, " mm")
            ?? s.Pairs("places_in", -LargestSpanMm / MmPerInch, LargestSpanMm / MmPerInch, MostBolts, " in")
                ?.Select(p => (p.First * MmPerInch, p.Second * MmPerInch))
                .ToArray();
        BoltPattern bolts = Shape(s, pattern, across, along, circle, ref turn, places);
        bolts = turn is double degrees && degrees != 0 ? bolts.Turned(degrees) : bolts;
        return bolts.Bolts.Count > 2 && bolts.InOneLine
            ? throw s.Fault(
                places is null ? null
                    : s.Has("places_mm") ? "places_mm"
                    : "places_in",
                "the bolts lie in one line",
                "A mount held in one line can tip about it: check the places, or write pattern = \"two\" if there are really two bolts."
            )
            : bolts;
    }

    private static BoltPattern Shape(
        TomlSection s,
        string? pattern,
        double? across,
        double? along,
        double? circle,
        ref double? turn,
        IReadOnlyList<(double, double)>? places
    )
    {
        if (places is not null)
        {
            try
            {
                return BoltPattern.At(places);
            }
            catch (ArgumentException e)
            {
                throw s.Fault(
                    s.Has("places_mm") ? "places_mm" : "places_in",
                    e.Message.Split(" (Parameter", 2)[0],
                    "Give each bolt its own place: [mm to the right of the arm, mm outwards]."
                );
            }
        }

        switch (pattern)
        {
            case null or "rectangle" or "square":
                return BoltPattern.Rectangle(Need(across, s, "across_mm"), Need(along, s, "along_mm"));
            case "cross":
                return BoltPattern.Cross(across ?? Need(circle, s, "across_mm"), along ?? Need(circle, s, "along_mm"));
            case "three":
                return BoltPattern.Circle(3, Need(circle, s, "circle_mm"), 0);
            case "two":
                return TwoBolts(s, across, along);
        }

        string[] parts = pattern.Split('x');
        if (
            parts.Length == 2
            && TypedNumber.Read(parts[0], out double first) == TypedNumberForm.Number
            && TypedNumber.Read(parts[1], out double second) == TypedNumberForm.Number
            && first is >= SmallestSpanMm and <= LargestSpanMm
            && second is >= SmallestSpanMm and <= LargestSpanMm
        )
        {
            // Two pairs of opposite bolts; motors with such mounts mostly sit with the arm between the pairs.
            BoltPattern pairs = BoltPattern.Pairs(first, second, turn ?? 45);
            turn = null;
            return pairs;
        }

        throw s.Fault(
            "pattern",
            $"'{TomlSheet.Cut(pattern)}' under 'pattern' is not known",
            "Write rectangle, cross, three, two, or two distances such as 16x19; or list the bolts as places_mm."
        );
    }

    private static BoltPattern TwoBolts(TomlSection s, double? across, double? along) =>
        (across, along) switch
        {
            (double x, null) => BoltPattern.At([(x / 2, 0), (-x / 2, 0)]),
            (null, double y) => BoltPattern.At([(0, y / 2), (0, -y / 2)]),
            _ => throw s.Fault(
                "pattern",
                "two bolts need one distance",
                "Give across_mm if they lie across the arm, along_mm if along it."
            ),
        };

    private static double Need(double? length, TomlSection s, string key) =>
        length ?? throw s.Fault(null, $"the bolts have no {key}", $"Add {key}, the distance between bolt centres in mm.");

    private static double? Length(TomlSection s, string name)
    {
        (string mm, string inch) = (name + "_mm", name + "_in");
        double? value =
            s.Number(mm, double.Epsilon, double.MaxValue) ?? s.Number(inch, double.Epsilon, double.MaxValue / MmPerInch) * MmPerInch;
        return value is > LargestSpanMm or < SmallestSpanMm
            ? throw s.Fault(
                s.Has(mm) ? mm : inch,
                string.Create(CultureInfo.InvariantCulture, $"{value} mm between bolts is not plausible"),
                "Give the unit of the key."
            )
            : value;
    }

    private static MountScrews ScrewsOf(TomlSection s) =>
        new(
            s.Number("length_mm", 1, 200, " mm")
                ?? throw s.Fault(null, "the screws have no length_mm", "Give the length under the head in mm."),
            s.Number("diameter_mm", 0.5, 20, " mm") ?? throw s.Fault(null, "the screws have no diameter_mm", "Give 3 for an M3 screw."),
            s.Number("clamped_mm", 0, 100, " mm")
                ?? throw s.Fault(
                    null,
                    "the screws have no clamped_mm",
                    "Give the thickness between screw head and motor without shims in mm."
                ),
            s.Number("thread_depth_mm", 0.5, 100, " mm")
        );

    private static GaugeData GaugeOf(TomlSection s)
    {
        s.Text("name");
        return new(
            s.Number("resolution_deg", 0.0001, LargestAngleDeg, "°"),
            s.Number("accuracy_deg", 0.0001, LargestAngleDeg, "°"),
            s.Number("repeatability_deg", 0.0001, LargestAngleDeg, "°")
        );
    }
}
