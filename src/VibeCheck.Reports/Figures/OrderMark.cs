using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Figures;

/// <summary>An interval of frequency, Hz, in which one order of one or more motors lies.</summary>
/// <param name="FromHz">Lowest of the lines.</param>
/// <param name="ToHz">Highest of the lines.</param>
/// <param name="Name">Such as "M3 ×2", or "×1" where several motors' lines lie together; null
/// where it would overlap another name.</param>
internal sealed record OrderMark(double FromHz, double ToHz, string? Name)
{
    private const double PixelsPerLetter = 8;

    /// <summary>The marks of some flights; a name that would overlap another is left out.</summary>
    /// <param name="motors">Motors with their mean speeds; a motor may occur once per flight.</param>
    /// <param name="toHz">Right end of the chart, Hz.</param>
    /// <param name="hzPerPixel">Scale of the chart, Hz per pixel.</param>
    internal static IReadOnlyList<OrderMark> Of(IEnumerable<MotorAnalysis> motors, double toHz, double hzPerPixel)
    {
        var lines = new List<(double Hz, string Motor, int Order)>();
        foreach (MotorAnalysis motor in motors)
        {
            foreach (OrderLevel order in motor.Orders)
            {
                if (motor.RpmMean.Value is double rpm && order.Order * rpm / 60 <= toHz)
                {
                    lines.Add((order.Order * rpm / 60, motor.Id, order.Order));
                }
            }
        }

        // Lines of one order that are too close for a name each share one mark.
        double roomHz = 6 * PixelsPerLetter * hzPerPixel;
        var marks = lines.GroupBy(line => line.Order).SelectMany(order => Shared([.. order.OrderBy(line => line.Hz)], roomHz));
        return Thinned([.. marks.OrderBy(mark => mark.FromHz)], hzPerPixel);
    }

    private double MiddleHz => (FromHz + ToHz) / 2;

    private static List<OrderMark> Shared((double Hz, string Motor, int Order)[] lines, double roomHz)
    {
        var marks = new List<OrderMark>();
        int first = 0;
        for (int i = 1; i <= lines.Length; i++)
        {
            if (i == lines.Length || lines[i].Hz - lines[i - 1].Hz > roomHz)
            {
                string[] motors = [.. lines[first..i].Select(line => line.Motor).Distinct()];
                string order = "×" + Format.Whole(lines[first].Order);
                marks.Add(new OrderMark(lines[first].Hz, lines[i - 1].Hz, motors.Length == 1 ? $"{motors[0]} {order}" : order));
                first = i;
            }
        }

        return marks;
    }

    private static OrderMark[] Thinned(OrderMark[] marks, double hzPerPixel)
    {
        double freeFromHz = double.NegativeInfinity;
        for (int i = 0; i < marks.Length; i++)
        {
            double halfHz = marks[i].Name!.Length * PixelsPerLetter / 2 * hzPerPixel;
            if (marks[i].MiddleHz - halfHz < freeFromHz)
            {
                marks[i] = marks[i] with { Name = null };
            }
            else
            {
                freeFromHz = marks[i].MiddleHz + halfHz;
            }
        }

        return marks;
    }
}
