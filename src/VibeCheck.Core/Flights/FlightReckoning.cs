using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Flights;

/// <summary>One flight's way from tracks to <see cref="FlightAnalysis"/>, step by step.</summary>
internal sealed class FlightReckoning(Flight flight, Airframe airframe, AnalysisOptions options)
{
    internal FlightAnalysis Run()
    {
        HoverTime hover = options.HoverSegments is { } given ? new(given, "As given.") : HoverFinder.Find(flight);
        IReadOnlyList<SampleRun> runs = SampleRun.Within(flight.Imu, hover.Segments);
        LoadSharing sharing = LoadSharing.Of(flight, airframe, hover.Segments);
        (IReadOnlyList<Level> levels, IReadOnlyList<Spectrum> spectra) = Broadband(runs);
        MotorSamples speeds = MotorSamples.Of(flight, airframe, hover.Segments, t => t.Rpm);
        return new()
        {
            Airframe = airframe,
            Input = flight.Input,
            AmbientC = options.AmbientC ?? flight.AmbientC,
            Hover = hover,
            Levels = levels,
            Motors = [.. airframe.Motors.Select(m => Motor(m, hover, sharing, speeds))],
            RotorVibrationMps2 = Estimate.Unknown("No orders were measured."),
            YawTrim = sharing.Trim(),
            Peaks = PeakNames.Of(spectra, Lines(speeds), (_, _) => PeakKind.Unknown),
            Spectra = spectra,
            Findings = [],
            Warnings = [],
        };
    }

    private (IReadOnlyList<Level> Levels, IReadOnlyList<Spectrum> Spectra) Broadband(IReadOnlyList<SampleRun> runs)
    {
        if (Spectra.WindowLength(runs, flight.Imu.RateHz, options.Spectrum) is not int length)
        {
            return ([], []);
        }

        WelchPlan plan = Spectra.Plan(flight.Imu.RateHz, length, options.Spectrum);
        BroadbandLevels levels = new(plan, options.BandHz);
        IReadOnlyList<ChannelAverage> averages = Spectra.Averages(flight.Imu, runs, plan, levels.Weights);
        return (levels.Of(averages), [.. averages.Select(a => a.Spectrum)]);
    }

    private MotorAnalysis Motor(Motor motor, HoverTime hover, LoadSharing sharing, MotorSamples speeds)
    {
        return new()
        {
            Id = motor.Id,
            RpmMean = Mean(speeds, motor.Id, "No speed of this motor in the hover."),
            LoadShare = sharing.Share(motor.Id),
            CurrentA = Mean(MotorSamples.Of(flight, airframe, hover.Segments, t => t.CurrentA), motor.Id, "No current of this motor in the hover."),
            Orders = [],
            MotorTemp = TemperatureRise.Unknown("Not reckoned."),
            EscTemp = TemperatureRise.Unknown("Not reckoned."),
            UnbalanceGmm = Estimate.Unknown("Order 1 is not known."),
        };
    }

    private RotorLines? Lines(MotorSamples speeds) => speeds.Rows.Count == 0 ? null : new(
        [.. speeds.Motors.Select((m, i) => (m, speeds.MeanOf[i], Spread(speeds, i)))], Orders, flight.Imu.RateHz);

    private IReadOnlyList<int> Orders(Motor motor) =>
        [.. (options.Orders ?? [1, 2, 3, motor.Blades, 2 * motor.Blades]).Distinct().Order()];

    private static double Spread(MotorSamples samples, int column)
    {
        double mean = samples.MeanOf[column];
        return Math.Sqrt(samples.Rows.Average(r => (r[column] - mean) * (r[column] - mean)));
    }

    private static Estimate Mean(MotorSamples samples, string motorId, string why)
    {
        int column = samples.ColumnOf(motorId);
        return column < 0 || samples.Rows.Count == 0
            ? Estimate.Unknown(why)
            : DependentMean.Of([.. samples.Rows.Select(r => r[column])]).ToEstimate("readings");
    }
}
