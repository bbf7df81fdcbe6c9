using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Measures one flight, step by step from its tracks; it does not judge the log or make findings.</summary>
internal sealed class FlightAnalyzer(Flight flight, Airframe airframe, AnalysisOptions options)
{
    internal FlightMeasurement Run()
    {
        HoverTime hover = options.HoverSegments is { } given ? new(given, new HoverGiven()) : HoverFinder.Find(flight);
        IReadOnlyList<ContiguousSegment> runs = ContiguousSegment.Within(flight.Imu, hover.Segments);
        SpeedSupply supply = SpeedSupply.Of(flight, airframe, hover.Segments);
        RotorResults rotors = RotorResults.Of(supply, airframe, hover, new() { Orders = options.Orders, Progress = options.Progress });
        TemperatureResults temperatures = new(flight, hover.Segments, options.AmbientC);
        MotorSamples speeds = MotorSamples.Of(supply.Flight, airframe, hover.Segments, t => t.Rpm);
        // Speeds that were found for only some motors would leave out the shares of the others: then the logged quantity of all motors is
        // better.
        LoadSharing sharing = LoadSharing.Of(
            flight,
            airframe,
            hover.Segments,
            supply.Search is null || speeds.Motors.Count == airframe.Motors.Count
                ? speeds
                : MotorSamples.Of(flight, airframe, hover.Segments, t => t.Rpm)
        );
        MotorSamples currents = MotorSamples.Of(flight, airframe, hover.Segments, t => t.CurrentA);
        RotorLines? lines = Lines(speeds, rotors);
        MaskedAverages? masked = MaskedAverages.Of(supply.Flight, airframe, runs);
        (IReadOnlyList<Level> levels, IReadOnlyList<Spectrum> spectra) = Broadband(runs, masked);
        Spectrogram spectrogram = Spectrogram.Of(flight.Imu);
        Series? meanSpeed = MeanSpeed.Of(flight);
        SpeedBehaviour behaviour = new(spectrogram, meanSpeed, speeds.Rows.Count == 0 ? double.NaN : speeds.MeanOfAll);
        IReadOnlyList<StructureMode> modes = StructureFinder.Find(supply.Flight, airframe, hover.Segments, masked, lines, behaviour);
        GroupResult? group = GroupReading.Of(flight, airframe, hover, options);
        FlightAnalysis analysis = new()
        {
            Airframe = airframe,
            Input = flight.Input,
            AmbientC = temperatures.AmbientC,
            Hover = hover,
            Levels = levels,
            Motors = [.. airframe.Motors.Select(m => Motor(m, supply, rotors, temperatures, sharing, speeds, currents))],
            RotorVibrationMps2 = rotors.VibrationMps2,
            YawTrim = sharing.Trim(),
            Peaks = PeakNames.Of(spectra, lines, hz => modes.Any(m => m.Covers(hz)) ? PeakKind.Structure : behaviour.Of(hz)),
            Spectra = spectra,
            Findings = [],
            Warnings = [],
            Resonances = modes,
            GravityOffset = GravityOffset.Of(airframe, speeds),
            Spectrogram = spectrogram.Density.Count > 0 ? spectrogram : null,
            SpeedSearch = supply.Search,
            Group = group,
            Accounting = VibrationAccounting.Of(supply.Flight, airframe, hover.Segments, group, options.AccountBandHz),
            OrderFlanks = OrderFlank.Of(
                masked?.Finish() ?? [],
                speeds.Rows.Count == 0 ? double.NaN : speeds.MeanOfAll / 60,
                HiddenResonance.OrdersOf(airframe)
            ),
            SpeedMap = meanSpeed is null ? null : SpeedFrequencyMap.Of(spectrogram, meanSpeed),
        };
        analysis = analysis with { ShortTimeOrders = ShortTimeOrders.Of(supply.Flight, analysis) };
        return new(analysis, supply.Flight, runs, temperatures.AmbientIsFromColdStart);
    }

    private (IReadOnlyList<Level> Levels, IReadOnlyList<Spectrum> Spectra) Broadband(
        IReadOnlyList<ContiguousSegment> runs,
        MaskedAverages? masked
    )
    {
        if (Spectra.WindowLength(runs, flight.Imu.RateHz, options.Spectrum) is not int length)
        {
            return ([], []);
        }

        WelchPlan plan = Spectra.Plan(flight.Imu.RateHz, length, options.Spectrum);
        BroadbandLevels levels = new(plan, options.BandHz);
        IReadOnlyList<ChannelAverage> averages = Spectra.Averages(
            flight.Imu,
            runs,
            plan,
            levels.Weights,
            channel => masked?.Taker(channel, plan)
        );
        return (levels.Of(averages), [.. averages.Select(a => a.Spectrum)]);
    }

    private MotorAnalysis Motor(
        Motor motor,
        SpeedSupply supply,
        RotorResults rotors,
        TemperatureResults temperatures,
        LoadSharing sharing,
        MotorSamples speeds,
        MotorSamples currents
    )
    {
        RotorOrders? orders = rotors.Find(motor.Id);
        IReadOnlyList<OrderLevel> levels = rotors.Orders(motor);
        FoundSpeed? found = supply.Found(motor.Id);
        Estimate rpm =
            found is { Rpm: not null } ? found.MeanRpm
            : orders is { RpmMean.IsKnown: true } ? orders.RpmMean
            : Mean(speeds, motor.Id, found is null ? new SpeedMissingInHover() : rotors.WhyNoSpeed(motor.Id));
        Estimate unbalance = Unbalance.FromVibration(levels.FirstOrDefault(o => o.Order == 1), airframe.MassKg, rpm);
        return new()
        {
            Id = motor.Id,
            RpmMean = rpm,
            LoadShare = sharing.Share(motor.Id),
            CurrentA = Mean(currents, motor.Id, new CurrentMissingInHover()),
            Orders = levels,
            MotorTemp = temperatures.Motor(motor.Id),
            EscTemp = temperatures.Esc(motor.Id),
            UnbalanceGmm = unbalance,
            RotorMassWithinG63G =
                unbalance.Value is double gmm && rpm.Value is double speed
                    ? Unbalance.RotorMassWithinGradeG(gmm, Unbalance.FanGradeMmps, speed)
                    : null,
            Rpm = supply.Flight.Track(motor.Id)?.Rpm is { Count: > 0 } series ? series : null,
            SpeedIsFound = found is { Rpm: not null },
            SpeedLagS = found is null ? orders?.SpeedLagS : null,
        };
    }

    private RotorLines? Lines(MotorSamples speeds, RotorResults rotors) =>
        speeds.Rows.Count == 0
            ? null
            : new([.. speeds.Motors.Select((m, i) => (m, speeds.MeanOf[i], Spread(speeds, i)))], rotors.Wanted, flight.Imu.RateHz);

    private static double Spread(MotorSamples samples, int column)
    {
        double mean = samples.MeanOf[column];
        return Math.Sqrt(samples.Rows.Average(r => (r[column] - mean) * (r[column] - mean)));
    }

    private static Estimate Mean(MotorSamples samples, string motorId, Reason why)
    {
        int column = samples.ColumnOf(motorId);
        return column < 0 || samples.Rows.Count == 0
            ? Estimate.Unknown(why)
            : DependentMean.Of([.. samples.Rows.Select(r => r[column])]).ToEstimate(IndependentValues.Readings);
    }
}
