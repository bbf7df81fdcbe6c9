using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests;

/// <summary>The example of docs/library.md, compiled and run.</summary>
public sealed class LibraryPageTests
{
    [Fact]
    public void The_example_of_the_page_does_what_it_says()
    {
        // <page>
        // A minute of made-up vibration at 1 kHz; yours comes from where you like.
        double[] x = new double[60_000],
            y = new double[60_000],
            z = new double[60_000];
        for (int i = 0; i < x.Length; i++)
        {
            x[i] = 0.5 * Math.Sin(2 * Math.PI * 55 * i / 1000.0);
            y[i] = 0.5 * Math.Cos(2 * Math.PI * 55 * i / 1000.0);
            z[i] = -9.81;
        }

        ImuTrack imu = new()
        {
            Blocks = [new ContiguousSegment(FirstSample: 0, SampleCount: x.Length, StartS: 0, PeriodS: 0.001)],
            AccXMps2 = x,
            AccYMps2 = y,
            AccZMps2 = z,
        };
        Series rpm = new([.. Enumerable.Range(0, 1200).Select(i => i * 0.05)], [.. Enumerable.Repeat(3300.0, 1200)]);
        Airframe airframe = new()
        {
            Name = "bench rig",
            MassKg = 2,
            Motors = [new Motor("M1", AzimuthDeg: 0, ArmM: 0.2, Spin.Clockwise, MotorLevel.Single, Blades: 2, PolePairs: 7)],
        };
        Flight flight = new()
        {
            Imu = imu,
            Motors = [new MotorTrack { MotorId = "M1", Rpm = rpm }],
            Input = new FlightInput
            {
                Imu = new FileRecord
                {
                    Path = "none",
                    Rows = x.Length,
                    RowsUnusable = 0,
                    Columns = [],
                },
            },
        };

        FlightAnalysis analysis = FlightCheck.Of(flight, airframe);
        double? order1 = analysis.Motors[0].Orders[0].RmsMps2.Value; // 0.50 m/s²: a force turning in the plane of the rotor
        double? unbalance = analysis.Motors[0].UnbalanceGmm.Value; // 8.4 g·mm on 2 kg at 3300 rpm
        Reason? why = analysis.YawTrim.Split.Why; // AllTurnTheSameWay

        Spectrum spectrum = analysis.Spectra[0]; // acc_x
        double velocity = spectrum.ToVelocity().Rms(10, 1000); // mm/s
        // </page>

        Assert.Equal(0.5, order1!.Value, 0.005);
        Assert.Equal(8.4, unbalance!.Value, 0.05 + 0.005 * 8.4);
        Assert.Equal(new AllTurnTheSameWay(), why);
        Assert.Equal(1000 * 0.5 / Math.Sqrt(2) / (2 * Math.PI * 55), velocity, 0.01);
    }

    [Fact]
    public void The_page_shows_the_very_lines_of_the_test_above()
    {
        string[] test = Between(
            File.ReadAllLines(Path.Combine(Repository.Root, "tests", "VibeCheck.Core.Tests", "LibraryPageTests.cs")),
            "// <page>",
            "// </page>"
        );
        string[] shown = Between(File.ReadAllLines(Path.Combine(Repository.Root, "docs", "library.md")), "```csharp", "```");
        Assert.Equal(shown, Array.ConvertAll(test, line => line.Length > 8 ? line[8..] : line.Trim()));
    }

    private static string[] Between(string[] lines, string from, string to)
    {
        int first = Array.FindIndex(lines, l => l.Trim() == from) + 1;
        return lines[first..Array.FindIndex(lines, first, l => l.Trim() == to)];
    }
}
