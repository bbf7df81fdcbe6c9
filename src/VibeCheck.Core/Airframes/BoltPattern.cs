namespace VibeCheck.Core.Airframes;

/// <summary>One bolt of a motor mount, placed from the mount's centre as seen from the hub looking out along the arm.</summary>
/// <param name="Place">Plain name of the place, such as "right-out".</param>
/// <param name="AcrossMm">Millimetres to the right of the arm's axis; left is negative.</param>
/// <param name="AlongMm">Millimetres outwards along the arm; towards the hub is negative.</param>
public sealed record Bolt(string Place, double AcrossMm, double AlongMm);

/// <summary>The bolts of a motor mount.</summary>
/// <param name="Bolts">Two or more bolts, not all at one place.</param>
public sealed record BoltPattern(IReadOnlyList<Bolt> Bolts)
{
    /// <summary>A bolt nearer to the arm's axis (or its normal) than this many degrees has a one-word place.</summary>
    private const double AxisHalfWidthDeg = 22.5;

    /// <summary>Distance between the outermost bolts across the arm, mm; 0 for two bolts on the arm's axis.</summary>
    public double AcrossSpanMm => Bolts.Max(b => b.AcrossMm) - Bolts.Min(b => b.AcrossMm);

    /// <summary>Distance between the outermost bolts along the arm, mm; 0 for two bolts across it.</summary>
    public double AlongSpanMm => Bolts.Max(b => b.AlongMm) - Bolts.Min(b => b.AlongMm);

    /// <summary>Whether all bolts lie in one line, within 0.1 mm: then a mount can still tip about that line.</summary>
    public bool InOneLine
    {
        get
        {
            Bolt a = Bolts[0];
            Bolt far = Bolts.MaxBy(b => Distance(a, b))!;
            double length = Distance(a, far);
            return Bolts.All(b =>
                Math.Abs((far.AcrossMm - a.AcrossMm) * (b.AlongMm - a.AlongMm) - (far.AlongMm - a.AlongMm) * (b.AcrossMm - a.AcrossMm))
                <= 0.1 * length
            );
        }
    }

    /// <summary>Pairs of bolts that face each other over the mount's centre, with their distance,
    /// mm; empty where bolts do not pair up so.</summary>
    public IReadOnlyList<(Bolt A, Bolt B, double DistanceMm)> OppositePairs
    {
        get
        {
            (Bolt A, Bolt B, double DistanceMm)[] pairs =
            [
                .. Bolts.SelectMany(
                    (a, i) =>
                        Bolts
                            .Skip(i + 1)
                            .Where(b => Math.Abs(a.AcrossMm + b.AcrossMm) < 0.1 && Math.Abs(a.AlongMm + b.AlongMm) < 0.1)
                            .Select(b => (a, b, Distance(a, b)))
                ),
            ];
            return 2 * pairs.Length == Bolts.Count ? pairs : [];
        }
    }

    /// <summary>Four bolts at the corners of a rectangle square to the arm.</summary>
    /// <param name="acrossMm">Distance between bolt centres across the arm, mm.</param>
    /// <param name="alongMm">Distance between bolt centres along the arm, mm.</param>
    public static BoltPattern Rectangle(double acrossMm, double alongMm)
    {
        double x = Require.Positive(acrossMm) / 2,
            y = Require.Positive(alongMm) / 2;
        return new([new("right-out", x, y), new("right-in", x, -y), new("left-in", -x, -y), new("left-out", -x, y)]);
    }

    /// <summary>Four bolts on the arm's axis and square to it: at the 12, 3, 6 and 9 o'clock places, the hub at 6.</summary>
    /// <param name="acrossMm">Distance between the right and the left bolt, mm.</param>
    /// <param name="alongMm">Distance between the out and the in bolt, mm.</param>
    public static BoltPattern Cross(double acrossMm, double alongMm)
    {
        double x = Require.Positive(acrossMm) / 2,
            y = Require.Positive(alongMm) / 2;
        return new([new("out", 0, y), new("right", x, 0), new("in", 0, -y), new("left", -x, 0)]);
    }

    /// <summary>Two pairs of opposite bolts square to each other, such as 16 and 19 mm apart, turned against the arm.</summary>
    /// <param name="firstMm">Distance between the bolts of the first pair, mm.</param>
    /// <param name="secondMm">Distance between the bolts of the second pair, mm.</param>
    /// <param name="turnDeg">Direction of the first pair, degrees clockwise from the arm's outward axis, seen from above.</param>
    public static BoltPattern Pairs(double firstMm, double secondMm, double turnDeg) =>
        Cross(Require.Positive(secondMm), Require.Positive(firstMm)).Turned(turnDeg);

    /// <summary>Bolts evenly round a circle.</summary>
    /// <param name="count">Bolts, 2 or more.</param>
    /// <param name="diameterMm">Diameter of the bolt circle, mm.</param>
    /// <param name="firstDeg">Direction of the first bolt, degrees clockwise from the arm's outward axis, seen from above.</param>
    public static BoltPattern Circle(int count, double diameterMm, double firstDeg)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 2);
        double radius = Require.Positive(diameterMm) / 2;
        return At([
            .. Enumerable
                .Range(0, count)
                .Select(i => double.DegreesToRadians(firstDeg + 360.0 * i / count))
                .Select(a => (radius * Math.Sin(a), radius * Math.Cos(a))),
        ]);
    }

    /// <summary>Bolts at given places, mm from the mount's centre: to the right of the arm, and outwards along it.</summary>
    /// <exception cref="ArgumentException">Fewer than two bolts, or two at one place.</exception>
    public static BoltPattern At(IReadOnlyList<(double AcrossMm, double AlongMm)> places)
    {
        if (places.Count < 2)
        {
            throw new ArgumentException($"a mount has two or more bolts, not {places.Count}", nameof(places));
        }

        var bolts = new List<Bolt>(places.Count);
        foreach ((double x, double y) in places)
        {
            string name = PlaceName(Require.Finite(x), Require.Finite(y));
            int same = bolts.Count(b => b.Place == name || b.Place.StartsWith(name + " ", StringComparison.Ordinal));
            bolts.Add(new(same == 0 ? name : $"{name} {same + 1}", x, y));
            if (bolts.SkipLast(1).Any(b => Distance(b, bolts[^1]) < 0.1))
            {
                throw new ArgumentException($"two bolts at one place, {x} mm across and {y} mm along", nameof(places));
            }
        }

        return new(bolts);
    }

    /// <summary>The same bolts turned clockwise seen from above; places get new names.</summary>
    public BoltPattern Turned(double degrees)
    {
        (double sin, double cos) = Math.SinCos(double.DegreesToRadians(Require.Finite(degrees)));
        return At([.. Bolts.Select(b => (b.AcrossMm * cos + b.AlongMm * sin, b.AlongMm * cos - b.AcrossMm * sin))]);
    }

    private static double Distance(Bolt a, Bolt b) =>
        Math.Sqrt((a.AcrossMm - b.AcrossMm) * (a.AcrossMm - b.AcrossMm) + (a.AlongMm - b.AlongMm) * (a.AlongMm - b.AlongMm));

    private static string PlaceName(double acrossMm, double alongMm)
    {
        if (Math.Abs(acrossMm) < 0.05 && Math.Abs(alongMm) < 0.05)
        {
            return "centre";
        }

        double fromOut = double.RadiansToDegrees(Math.Atan2(acrossMm, alongMm));
        string side = acrossMm > 0 ? "right" : "left",
            end = alongMm > 0 ? "out" : "in";
        double offOut = Math.Min(Math.Abs(fromOut), 180 - Math.Abs(fromOut)),
            offSide = Math.Abs(Math.Abs(fromOut) - 90);
        return offOut < AxisHalfWidthDeg ? end
            : offSide < AxisHalfWidthDeg ? side
            : $"{side}-{end}";
    }
}
