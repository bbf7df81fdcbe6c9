using VibeCheck.Core.Flights;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Figures;

/// <summary>A stretch of frequency in which one or more motors have an order, with the name to write over it.</summary>
/// <param name="FromHz">Lowest of the lines.</param>
/// <param name="ToHz">Highest of the lines.</param>
/// <param name="Name">Such as "M3 ×2", or "×1" where all motors' lines lie together.</param>
internal sealed record OrderMark(double FromHz, double ToHz, string Name)
{
    /// <summary>The marks of some flights, thinned so that names do not collide.</summary>
    /// <param name="motors">Motors with their mean speeds; a motor may stand there once a flight.</param>
    /// <param name="toHz">Right end of the chart.</param>
    /// <param name="roomHz">Width of a name, Hz: lines closer than this share a mark.</param>
    internal static IReadOnlyList<OrderMark> Of(IEnumerable<MotorAnalysis> motors, double toHz, double roomHz)
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

        var marks = new List<OrderMark>();
        var shared = new List<(double Hz, string Motor, int Order)>();
        foreach (var line in lines.OrderBy(l => l.Hz))
        {
            if (shared.Count > 0 && line.Hz - shared[^1].Hz > roomHz)
            {
                marks.Add(Named(shared));
                shared.Clear();
            }

            shared.Add(line);
        }

        if (shared.Count > 0)
        {
            marks.Add(Named(shared));
        }

        return marks;
    }

    private static OrderMark Named(List<(double Hz, string Motor, int Order)> lines)
    {
        int[] orders = [.. lines.Select(l => l.Order).Distinct().Order()];
        string order = string.Join(" ", orders.Select(o => "×" + Say.Whole(o)));
        string[] motors = [.. lines.Select(l => l.Motor).Distinct()];
        string name = motors.Length == 1 ? $"{motors[0]} {order}" : order;
        return new OrderMark(lines[0].Hz, lines[^1].Hz, name);
    }
}
