using VibeCheck.Core.Findings;
using VibeCheck.Core.Statistics;
using VibeCheck.Workbench.AircraftHistory;

namespace VibeCheck.Workbench.Tests;

/// <summary>Compares the newest flight of an aircraft with its earlier ones.</summary>
public sealed class NewestFlightTests
{
    [Fact]
    public void The_last_flight_is_compared_with_all_earlier_ones_each_counted_once()
    {
        // 1, 2, 4 and 5 m/s², then 3: two of four are lower. The flight after the first work is also the one before the second.
        JobSummary[] jobs = [Job("second", Side(3, 2), Side(5, 4), Side(6, 3)), Job("first", Side(1, 1), Side(2, 5), Side(3, 2))];
        NewestFlight newest = NewestFlight.Of(jobs)!;
        Assert.Equal("second", newest.Job.Title);
        Assert.Equal(4, newest.Earlier);
        ScaleReading reading = Assert.Single(newest.Scale);
        Assert.Equal(3, reading.Value);
        Assert.Equal(ScaleBasis.OwnFlights, reading.Basis);
        Assert.Equal(50, reading.Percentile);

        // Quartiles of 1, 2, 4, 5 by the linear rule (numpy.quantile): 1.75 and 4.25.
        Assert.Equal(new Interval(1.75, 4.25), reading.Usual);
    }

    [Fact]
    public void A_copied_log_without_a_date_counts_once_and_few_flights_are_compared_with_common_practice()
    {
        JobSummary[] jobs =
        [
            Job("job", Side(1, 1, dated: false), Side(2, 2, dated: false)),
            Job("copy", Side(3, 1, dated: false), Side(4, 2, dated: false)),
        ];
        NewestFlight newest = NewestFlight.Of(jobs)!;
        Assert.Equal(1, newest.Earlier);
        Assert.Equal(ScaleBasis.CommonPractice, Assert.Single(newest.Scale).Basis);
        Assert.Null(NewestFlight.Of([Job("new")]));
    }

    private static JobSummary Job(string title, params JobSide[] sides) =>
        new()
        {
            Folder = title,
            Title = title,
            Day = sides.LastOrDefault()?.Day ?? Day(1),
            Sides = sides,
        };

    private static JobSide Side(int day, double rotorsMps2, bool dated = true) =>
        new(Day(day), !dated, new Dictionary<string, MotorPoint>(), new Dictionary<string, Estimate>())
        {
            Flights = [new(dated ? Day(day) : null, new Dictionary<ScaleQuantity, double> { [ScaleQuantity.RotorVibration] = rotorsMps2 })],
        };

    private static DateTime Day(int day) => new(2026, 1, day, 0, 0, 0, DateTimeKind.Utc);
}
