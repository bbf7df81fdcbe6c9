using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests;

/// <summary>Six recorded flights of a small four-rotor (Masalimov et al., Data 2024, 9, 79, MIT licence).</summary>
internal static class RealFlights
{
    private const double StandardGravityMps2 = 9.80665;

    /// <summary>Motors 1 and 3 have one spin, 2 and 4 the other; the senses, arm length and mass are not known.</summary>
    internal static Airframe Airframe { get; } =
        new()
        {
            Name = "small four-rotor",
            Motors =
            [
                .. Enumerable
                    .Range(0, 4)
                    .Select(m => new Motor(
                        $"M{m + 1}",
                        45 + 90 * m,
                        0.05,
                        m % 2 == 0 ? Spin.CounterClockwise : Spin.Clockwise,
                        MotorLevel.Single,
                        2,
                        null
                    )),
            ],
        };

    internal static Flight Read(string name)
    {
        string[] lines = File.ReadAllLines(Repository.Data("real-flights", name + ".csv"));
        string[] headers = lines[0].Split(',');
        double[][] rows =
        [
            .. lines.Skip(1).Select(l => Array.ConvertAll(l.Split(','), f => double.Parse(f, CultureInfo.InvariantCulture))),
        ];
        double[] Column(string header, double scale) => [.. rows.Select(r => r[Array.IndexOf(headers, header)] * scale)];
        double[] timeS = Column("time_ms", 0.001);
        return new()
        {
            Imu = new()
            {
                Blocks = Blocks(timeS),
                AccXMps2 = Column("acc_x_g", StandardGravityMps2),
                AccYMps2 = Column("acc_y_g", StandardGravityMps2),
                AccZMps2 = Column("acc_z_g", StandardGravityMps2),
            },
            Motors =
            [
                .. Enumerable
                    .Range(1, 4)
                    .Select(m => new MotorTrack { MotorId = $"M{m}", Command = new Series(timeS, Column($"motor{m}_command_pct", 0.01)) }),
            ],
            BatteryV = new Series(timeS, Column("battery_mv", 0.001)),
            HeightM = new Series(timeS, Column("position_z_m", 1)),
            Input = new()
            {
                Imu = new()
                {
                    Path = name + ".csv",
                    Rows = rows.Length,
                    RowsUnusable = 0,
                    Columns = [],
                    RateHz = 100,
                },
                ClockOffsetS = 0,
            },
        };
    }

    /// <summary>Starts a new block after each interval of more than one and a half samples.</summary>
    private static List<ContiguousSegment> Blocks(double[] timeS)
    {
        List<ContiguousSegment> blocks = [];
        int first = 0;
        for (int i = 1; i <= timeS.Length; i++)
        {
            if (i == timeS.Length || timeS[i] - timeS[i - 1] > 0.015)
            {
                double periodS = i - first > 1 ? (timeS[i - 1] - timeS[first]) / (i - first - 1) : 0.0099;
                blocks.Add(new(first, i - first, timeS[first], periodS));
                first = i;
            }
        }

        return blocks;
    }
}
