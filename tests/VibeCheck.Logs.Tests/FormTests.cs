using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

/// <summary>The same flight written in the formats of many recorders is read with the same values.</summary>
public sealed class FormTests : IDisposable
{
    private static readonly SimulatedFlight Flight = SimulatedFlight.Make(Flights.ShortHexa);

    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-forms-").FullName;

    public static TheoryData<string> Names => [.. LogForms.All.Select(f => f.Name)];

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(Names))]
    public void Flight_comes_out_the_same_in_every_form(string name)
    {
        LogFormRecipe form = LogForms.All.Single(f => f.Name == name);
        (string imu, string? esc) = LogForms.Write(Flight, form, _folder);
        Flight read = FlightReader.Read(
            new([imu], esc is null ? [] : [esc]),
            ReadOptions.Default with
            {
                ClockOffsetS = 0,
            },
            Flight.Recipe.Airframe,
            TestContext.Current.CancellationToken
        );

        ImuTrack truth = Flight.Flight.Imu;
        int cut = form.CutLastLine ? 1 : 0;
        Assert.Equal(truth.Count - cut, read.Imu.Count);
        Assert.Equal(0, read.Input.Imu.RowsUnusable);
        Assert.Equal(truth.RateHz, read.Imu.RateHz, 1e-4 * truth.RateHz);
        double shift = read.Imu.StartS - truth.StartS;
        Assert.Equal(truth.EndS - cut / truth.RateHz, read.Imu.EndS - shift, 1e-3);
        // Written with at least five decimals of the form's unit: at worst a hundredth of a mg.
        AssertSame(truth.AccXMps2, read.Imu.AccXMps2, 2e-4);
        AssertSame(truth.AccZMps2, read.Imu.AccZMps2, 2e-4);
        AssertSame(truth.RateYRadps!, read.Imu.RateYRadps!, 1e-4);
        Assert.Equal(truth.ZPointsUp, read.Imu.ZPointsUp);
        foreach ((MotorTrack expected, MotorTrack actual) in Flight.Flight.Motors.Zip(read.Motors))
        {
            Assert.Equal(expected.MotorId, actual.MotorId);
            AssertSeries(expected.Rpm!, actual.Rpm, shift, 0.1);
            AssertSeries(expected.Command!, actual.Command, shift, 1e-5);
            AssertSeries(expected.CurrentA!, actual.CurrentA, shift, 1e-4);
            AssertSeries(expected.MotorTempC!, actual.MotorTempC, shift, 1e-4);
            AssertSeries(expected.EscTempC!, actual.EscTempC, shift, 1e-4);
        }
    }

    private static void AssertSame(double[] expected, double[] actual, double tolerance)
    {
        for (int i = 0; i < actual.Length; i++)
        {
            Assert.True(Math.Abs(expected[i] - actual[i]) <= tolerance, $"sample {i}: {expected[i]} became {actual[i]}");
        }
    }

    /// <summary>Compares the values at the times of the truth, or at most a sample period later where the log stamps reports with IMU
    /// rows.</summary>
    private static void AssertSeries(Series expected, Series? actual, double shift, double tolerance)
    {
        Assert.NotNull(actual);
        Assert.InRange(actual.Count, 0.97 * expected.Count, 1.03 * expected.Count);
        int seen = 0;
        for (int i = 1; i < expected.Count - 2; i++)
        {
            (double from, double to) = Flight.Recipe.ImuGaps[0];
            double time = expected.TimeS[i] + shift;
            if (expected.TimeS[i] < from - 0.1 || expected.TimeS[i] > to + 0.1)
            {
                int at = Math.Min(actual.FirstAtOrAfter(time - 1e-5), actual.Count - 1);
                // In a log that repeats values, a report equal to the one before cannot be seen.
                if (actual.TimeS[at] - time < 2.1e-3)
                {
                    seen++;
                    Assert.True(
                        Math.Abs(expected.Values[i] - actual.Values[at]) <= tolerance,
                        $"at {expected.TimeS[i]} s: {expected.Values[i]} became {actual.Values[at]}"
                    );
                }
            }
        }

        Assert.True(seen > 0.85 * expected.Count, $"only {seen} of {expected.Count} reports were found");
    }
}
