using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Tests;

/// <summary>The desk without its pages: what it writes, and what it makes of logs.</summary>
public sealed class DeskTests
{
    [Fact]
    public void Readings_from_two_desks_at_once_are_all_kept_once()
    {
        const int Each = 60;
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv", "job.toml");
        using Desk one = new(new JobFolder(folder.Path)),
            two = new(new JobFolder(folder.Path));
        Parallel.Invoke(() => Fill(one, "M1"), () => Fill(two, "M2"), () => Fill(one, "M3"));
        IReadOnlyList<GaugeReading> read = SurveyFile.ReadReadings(folder.In("survey.csv"), AirframeFile.Read(folder.In("airframe.toml")));
        Assert.Equal(3 * Each, read.Count);
        Assert.Equal(3 * Each, read.Select(r => r.Note).Distinct().Count());

        static void Fill(Desk desk, string motor)
        {
            for (int i = 0; i < Each; i++)
            {
                desk.Add([Reading(motor, 0.1) with { Note = $"{motor} {i}" }]);
            }
        }
    }

    [Fact]
    public void A_reading_taken_out_is_the_one_that_was_shown_whatever_came_before_it_since()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv", "job.toml");
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Add([Reading("M1", 0.1), Reading("M2", 0.2), Reading("M3", 0.3)]);
        GaugeReading shown = desk.View.Readings[1];
        File.WriteAllText(
            folder.In("survey.csv"),
            File.ReadAllText(folder.In("survey.csv")).Replace("M1,", "M4,as-found,frame,across,0.4,right,,,\nM1,", StringComparison.Ordinal)
        );
        desk.Remove(shown);
        Assert.Equal(["M4", "M1", "M3"], desk.View.Readings.Select(r => r.MotorId));
    }

    [Theory]
    [InlineData("reshim-hexa")]
    [InlineData("null-hexa")]
    public void An_airframe_saved_as_it_was_drawn_reads_back_the_same(string sample)
    {
        using ScratchFolder folder = ScratchFolder.Of(sample);
        Airframe before = AirframeFile.Read(folder.In("airframe.toml"));
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Save(AircraftDraft.Of(before).Airframe);
        AssertSame(before, AirframeFile.Read(folder.In("airframe.toml")));
    }

    [Fact]
    public void What_only_the_file_says_of_an_airframe_is_kept()
    {
        const string Text = """
            name = "All of it"
            mass_kg = 2.5
            torque_per_thrust_m = 0.017
            [bolts]
            pattern = "16x19"
            [shim_kit]
            thickness_mm = [0.1, 0.25]
            max_stack = 3
            count = [4, 2]
            [gauge]
            resolution_deg = 0.1
            repeatability_deg = 0.02
            [screws]
            length_mm = 8
            diameter_mm = 3
            clamped_mm = 4
            [[motor]]
            id = "front"
            azimuth_deg = 10
            arm_m = 0.2
            spin = "cw"
            blades = 3
            [motor.bolts]
            places_mm = [[8, 0], [-4, 7], [-4, -7]]
            [[motor]]
            id = "rear"
            azimuth_deg = 175.5
            arm_m = 0.31
            spin = "ccw"
            """;
        using ScratchFolder folder = ScratchFolder.Empty();
        File.WriteAllText(folder.In("airframe.toml"), Text);
        Airframe before = AirframeFile.Read(folder.In("airframe.toml"));
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Save(AircraftDraft.Of(before).Airframe);
        AssertSame(before, AirframeFile.Read(folder.In("airframe.toml")));
    }

    [Fact]
    public void What_a_job_file_says_beyond_its_flights_is_kept_when_a_flight_moves()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        File.WriteAllText(
            folder.In("job.toml"),
            File.ReadAllText(folder.In("job.toml"))
                .Replace(
                    "[[before]]",
                    "customer = \"A \\\"b\\\"\"\n[thresholds]\nchange_db = 2.5\n\n[[before]]\nname = \"first\"",
                    StringComparison.Ordinal
                )
        );
        using Desk desk = new(new JobFolder(folder.Path));
        Job before = desk.View.Job!;
        desk.ChangeJob(job => FlightPlacing.Moved(FlightPlacing.Moved(job, job.After[0]), job.After[0]));
        Job after = JobFile.Read(folder.Path);
        Assert.Equal((before.Title, before.Customer, before.Options), (after.Title, after.Customer, after.Options));
        Assert.Equal(["first", null], after.Before.Concat(after.After).Select(f => f.Name));
        Assert.Equal([21.0, 24.0], after.Before.Concat(after.After).Select(f => f.AmbientC));
    }

    [Theory]
    [InlineData("../../etc/passwd.csv", "etc/passwd.csv")]
    [InlineData("a/b/c/imu.csv", "c/imu.csv")]
    [InlineData("..\\nul.csv", "log/_nul.csv")]
    [InlineData("x<y>.csv.gz", "x_y_.csv.gz")]
    [InlineData("....csv", "log.csv")]
    public void A_name_becomes_one_that_is_plain_on_any_system(string given, string safe) =>
        Assert.Equal(safe, string.Join('/', JobFolder.SafeParts(given)));

    private static GaugeReading Reading(string motor, double deg) =>
        new()
        {
            MotorId = motor,
            When = SurveyTime.AsFound,
            Where = GaugePlace.Frame,
            Direction = TiltDirection.Across,
            LowDeg = deg,
            HighDeg = deg,
            LowSide = LowSide.Right,
        };

    private static void AssertSame(Airframe a, Airframe b)
    {
        Assert.Equal((a.Name, a.MassKg, a.TorquePerThrustM, a.Gauge, a.Screws), (b.Name, b.MassKg, b.TorquePerThrustM, b.Gauge, b.Screws));
        Assert.Equal(a.Motors.Select(m => m with { Bolts = null }), b.Motors.Select(m => m with { Bolts = null }));
        Assert.Equal(a.ShimKit?.ThicknessesMm, b.ShimKit?.ThicknessesMm);
        Assert.Equal((a.ShimKit?.MaxStack, a.ShimKit?.Counts?.Count), (b.ShimKit?.MaxStack, b.ShimKit?.Counts?.Count));
        Assert.Equal(
            a.Motors.Select(m => a.BoltsOf(m)).Prepend(a.Bolts).SelectMany(p => p?.Bolts ?? []),
            b.Motors.Select(m => b.BoltsOf(m)).Prepend(b.Bolts).SelectMany(p => p?.Bolts ?? [])
        );
    }
}
