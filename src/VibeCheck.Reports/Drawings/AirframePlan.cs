using VibeCheck.Core.Airframes;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>The airframe from above, nose up, with room for one panel per motor at the place of the motor. The panels of a coaxial pair
/// are one above the other, the upper motor on top. Reports and the workbench draw on it.</summary>
public sealed class AirframePlan
{
    private const double Gap = 8;
    private const double NoseRoom = 26;
    private readonly double _panelWidth;
    private readonly double _panelHeight;

    private AirframePlan(double panelWidth, double panelHeight, IReadOnlyList<PlanPlace> around)
    {
        _panelWidth = panelWidth;
        _panelHeight = panelHeight;
        double right = Math.Max(30, around.Max(p => Math.Abs(p.X)) + panelWidth / 2);
        double top = Math.Min(-30, around.Min(p => p.Y) - panelHeight / 2) - NoseRoom;
        double bottom = Math.Max(30, around.Max(p => p.Y) + panelHeight / 2);
        Width = 2 * right + 2;
        Height = bottom - top + 2;
        HubX = Width / 2;
        HubY = 1 - top;
        Places = [.. around.Select(p => p with { X = p.X + HubX, Y = p.Y + HubY })];
    }

    /// <summary>Width of the drawing in its own units.</summary>
    public double Width { get; }

    /// <summary>Height of the drawing in its own units.</summary>
    public double Height { get; }

    /// <summary>The hub, from the left edge, in the drawing's units.</summary>
    public double HubX { get; }

    /// <summary>The hub, from the top edge, in the drawing's units.</summary>
    public double HubY { get; }

    /// <summary>One place per motor, in the airframe's order.</summary>
    public IReadOnlyList<PlanPlace> Places { get; }

    /// <summary>The smallest plan to scale on which no panel touches another or the hub.</summary>
    /// <param name="airframe">One motor or more.</param>
    /// <param name="panelWidth">Width that a panel needs, in the drawing's units, above 0.</param>
    /// <param name="panelHeight">Height that a panel needs, in the drawing's units, above 0.</param>
    /// <param name="leastWidth">The drawing is spread to at least this width; arms that are close to each other may make it wider.</param>
    public static AirframePlan Of(Airframe airframe, double panelWidth, double panelHeight, double leastWidth = 340)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        Box[] boxes = [.. airframe.Motors.GroupBy(Arm).Select(arm => Box.Of([.. arm], panelWidth, panelHeight))];
        double scale = Spread(boxes, leastWidth);
        var places = new Dictionary<Motor, PlanPlace>();
        foreach (Box box in boxes)
        {
            for (int i = 0; i < box.Motors.Count; i++)
            {
                double y = (i - (box.Motors.Count - 1) / 2.0) * (panelHeight + Gap / 2);
                places[box.Motors[i]] = new PlanPlace(box.Motors[i], box.X * scale, box.Y * scale + y);
            }
        }

        return new AirframePlan(panelWidth, panelHeight, [.. airframe.Motors.Select(m => places[m])]);
    }

    /// <summary>The whole drawing: the frame, and over it each motor's panel.</summary>
    /// <param name="label">One sentence for those who cannot see the drawing.</param>
    /// <param name="panel">Draws a panel around its place, no larger than the size that the plan was made for.</param>
    public Markup Draw(string label, Func<PlanPlace, Markup> panel) =>
        Markup.Of(
            $"""
            <svg class="plan" viewBox="0 0 {Width} {Height}" role="img" aria-label="{label}">
            {Frame()}{Places.Select(panel)}
            </svg>
            """
        );

    /// <summary>Hub, arms and the mark for the nose.</summary>
    public Markup Frame() =>
        Markup.Of(
            $"""
            <g class="frame" fill="none" stroke="#c3c8cf" stroke-width="5" stroke-linecap="round">{Places.GroupBy(p => Arm(p.Motor)).Select(
                ArmLine
            )}</g>
            <circle cx="{HubX}" cy="{HubY}" r="15" fill="#fff" stroke="#8a919c" stroke-width="1.5"/>
            <path d="M{HubX} {HubY - 9}l5 11h-10z" fill="#5b6470"/>
            <text x="{HubX}" y="14" text-anchor="middle" font-size="14" fill="#4a525c">▲ nose</text>

            """
        );

    /// <summary>A white card for a panel, so that arms end at its edge.</summary>
    public Markup Ground(PlanPlace place)
    {
        ArgumentNullException.ThrowIfNull(place);
        return Markup.Of(
            $"""<rect x="{place.X - _panelWidth / 2}" y="{place.Y - _panelHeight / 2}" width="{_panelWidth}" height="{_panelHeight}" """
                + $"""rx="6" fill="#fff" stroke="{Palette.Line}"/>"""
        );
    }

    // One arm to the middle of its panels, and a line that joins a pair.
    private Markup ArmLine(IEnumerable<PlanPlace> arm)
    {
        PlanPlace[] all = [.. arm];
        double x = all[0].X,
            top = all.Min(p => p.Y),
            bottom = all.Max(p => p.Y);
        return Markup.Of($"""<path d="M{HubX} {HubY}L{x} {(top + bottom) / 2}M{x} {top}V{bottom}"/>""");
    }

    // Two motors share an arm when their places agree to a hundredth of a degree and a tenth of a millimetre.
    private static (double, double) Arm(Motor motor) => (Math.Round(motor.AzimuthDeg % 360, 2), Math.Round(motor.ArmM, 4));

    private static double Spread(Box[] boxes, double leastWidth)
    {
        var hub = new Box([], 0, 0, 30, 30);
        double scale = 0;
        for (int i = 0; i < boxes.Length; i++)
        {
            scale = Math.Max(scale, boxes[i].ScaleClearOf(hub));
            for (int j = 0; j < i; j++)
            {
                scale = Math.Max(scale, boxes[i].ScaleClearOf(boxes[j]));
            }
        }

        double reach = boxes.Max(box => Math.Abs(box.X));
        return reach > 0 ? Math.Max(scale, (leastWidth - boxes[0].Width) / 2 / reach) : scale;
    }

    /// <summary>The panels of one arm, at the arm's place in metres.</summary>
    private sealed record Box(IReadOnlyList<Motor> Motors, double X, double Y, double Width, double Height)
    {
        internal static Box Of(IReadOnlyList<Motor> motors, double panelWidth, double panelHeight)
        {
            double azimuthRad = motors[0].AzimuthDeg * Math.PI / 180;
            return new Box(
                [.. motors.OrderBy(m => m.Level == MotorLevel.Lower)],
                motors[0].ArmM * Math.Sin(azimuthRad),
                -motors[0].ArmM * Math.Cos(azimuthRad),
                panelWidth,
                motors.Count * (panelHeight + Gap / 2)
            );
        }

        /// <summary>Least scale, drawing units per metre, at which the two boxes do not overlap.</summary>
        internal double ScaleClearOf(Box other)
        {
            double across = Needed((Width + other.Width) / 2 + Gap, Math.Abs(X - other.X));
            double down = Needed((Height + other.Height) / 2 + Gap, Math.Abs(Y - other.Y));
            return double.IsInfinity(Math.Min(across, down)) ? 0 : Math.Min(across, down);
        }

        private static double Needed(double size, double distance) => distance > 1e-6 ? size / distance : double.PositiveInfinity;
    }
}
