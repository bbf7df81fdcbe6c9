using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>A finding as text.</summary>
/// <param name="Text">One plain sentence or two, no more certain than the evidence.</param>
/// <param name="Evidence">The numbers with units and intervals.</param>
/// <param name="NextCheck">What to do next; on the bench: propellers off, battery out.</param>
public sealed record FindingText(string Text, string Evidence, string NextCheck)
{
    /// <summary>Begins every next check that needs work on the aircraft.</summary>
    private const string Bench = "Propellers off and battery out: ";

    /// <summary>The text of a finding.</summary>
    public static FindingText Of(Finding finding)
    {
        ArgumentNullException.ThrowIfNull(finding);
        return Of(finding.Cause) ?? throw new InvalidOperationException($"no words for {finding.Cause.GetType().Name}");
    }

    /// <summary>The text of a cause; null where the cause is not that of a finding.</summary>
    internal static FindingText? Of(Reason cause) =>
        cause switch
        {
            OrderOneStandsOut o => OrderOne(o),
            BladePassStandsOut b => BladePass(b),
            OrderNearResonance o => new(
                $"Order {Format.Whole(o.Order)} of {o.Motor} lies close to an airframe resonance, which amplifies it.",
                $"{Resonance(o.Resonance)}; order {Format.Whole(o.Order)} lies {Format.Signed(100 * o.Margin, 1)} % from it",
                Bench
                    + "tap the frame near the IMU and the arm, look for loose screws, cracks and unclamped parts; stiffen what rings, "
                    + "or choose propellers that hover at another speed."
            ),
            OrderSizeTellsResonance { Resonance: var r } => new(
                $"Order {Format.Whole(r.Order)} of the rotors lies under a resonance of the airframe, near "
                    + $"{Format.Number(r.Hz, 0)} Hz. Its size does not change with speed as that of an unbalance does.",
                $"size grows with speed to the power {Format.Number(r.Exponent, 1)} (an unbalance: 2); a resonance at {Format.Number(r.Hz, 0)} Hz "
                    + $"with {Format.Number(100 * r.DampingRatio, 1)} % of critical damping fits; if all of the force passes through it, it "
                    + $"amplifies the order about {Format.Number(r.Gain, 0)} times",
                Bench
                    + "tap the frame near the IMU and the arms, look for loose screws, cracks and unclamped parts; stiffen what rings, "
                    + "or choose propellers that hover at another speed."
            ),
            FloorRisesToOrder f => new(
                $"Order {Format.Whole(f.Order)} of the rotors lies under a resonance of the airframe, near {Format.Number(f.Hz, 0)} Hz: "
                    + "the noise beside its lines is amplified too.",
                $"the floor of the spectrum rises by {Format.Number(f.RiseDb, 0)} dB towards order {Format.Whole(f.Order)}, mean of both sides",
                Bench
                    + "tap the frame near the IMU and the arms, look for loose screws, cracks and unclamped parts; stiffen what rings, "
                    + "or choose propellers that hover at another speed."
            ),
            DampedResonanceBelowRotors d => new(
                "A low, well-damped resonance lies below the rotors: the IMU may sit on a soft mount, and then shows less of the rotors "
                    + "than the frame feels. Before and after still compare while the mount stays the same.",
                $"{Resonance(d.Resonance)}; slowest rotor {Format.Number(d.SlowestRotorHz, 1)} Hz",
                Bench + "press on the IMU or its board and see whether it gives."
            ),
            FallsAboveMount m => new(
                "The floor of the spectrum rises to a low hump and falls steeply above it: the IMU may sit on a soft "
                    + "mount, and then shows less of the rotors "
                    + "than the frame feels. Before and after still compare while the mount stays the same.",
                $"hump at {Format.Number(m.Hz, 1)} Hz, {Format.Number(m.RiseDb, 0)} dB above the floor below it; "
                    + $"{Format.Number(m.FallDb, 0)} dB lower at 1.8 "
                    + $"times its frequency; slowest rotor {Format.Number(m.SlowestRotorHz, 1)} Hz",
                Bench + "press on the IMU or its board and see whether it gives."
            ),
            OneSpinTurnsFaster s => new(
                $"The {(s.Faster == Spin.Clockwise ? "clockwise" : "counter-clockwise")} motors must turn faster than the others to hold "
                    + "the heading, so they carry more load and run hotter. Mounts tilted to the same side, a twisted arm or differing "
                    + "propellers can cause this.",
                $"split {Format.Signed(100 * s.Split, 1)} % ({Format.Signed(100 * s.Ci95.Low, 1)} to {Format.Signed(100 * s.Ci95.High, 1)})",
                Bench + "measure the tilt of all mounts across their arms; check that all propellers are of one kind."
            ),
            GravityOffHub g => GravityOffset(g),
            HotterThanLoad h => Hot(h),
            TiltReducedVibrationNot t => new(
                $"The tilt of {t.Motor} came down by {Format.Number(t.TakenOutDeg, 2)}°, but its order 1 did not: something else makes "
                    + $"it vibrate.",
                $"order 1 {Format.Signed(t.ChangeDb, 1)} dB {Format.Bracket(t.Ci95Db, 1)}",
                Bench
                    + $"look for a bent shaft and play in the bearings of {t.Motor}. Then swap its propeller with another motor's and fly "
                    + "again: "
                    + "if the vibration goes with the propeller, balance or replace it."
            ),
            _ => Account(cause) ?? Power(cause) ?? Log(cause),
        };

    private static FindingText? Account(Reason cause) =>
        cause switch
        {
            HalfOrdersStandOut h => new(
                $"{(h.Motor is null ? "Something" : $"Something at {h.Motor}")} vibrates at half orders of the rotor speed (×0.5 is once in two "
                    + "turns). Play causes this, such as a loose arm, mount, motor screw or propeller hub.",
                Lines(h.Lines, 1),
                Bench
                    + $"hold the hub and push "
                    + $"{(h.Motor is null ? "each arm, motor and propeller" : $"the arm, the motor and the propeller of {h.Motor}")} "
                    + "to and fro: feel for play, and check the screws with the torque driver."
            ),
            LineLockedToRotor l => new(
                $"A line follows {l.Motor ?? "the rotors"} at {Format.Number(l.Lines[0].Multiple, 2)} cycles per turn. Neither blades nor "
                    + "unbalance produce such a line. A bearing may, or something that rolls or rubs with the rotor.",
                Lines(l.Lines, 2),
                Bench
                    + $"turn the bell of {l.Motor ?? "each motor"} slowly by hand, feel and listen for roughness, and compare it with "
                    + $"another motor; "
                    + "then run it without propeller: a bearing can still be heard."
            ),
            LineOfNoRotor n => new(
                $"A line at {Format.Number(n.Lines[0].Hz, 1)} Hz {(n.Lines[0].IsUnambiguous
                ? "keeps its frequency while the rotors change theirs, so no rotor causes it. A gimbal, a fan or a pump of "
                    + "the payload may, or the recorder's own electronics."
                : "is no whole or half multiple of a rotor's speed. The speeds changed too little to show whether it follows a rotor "
                    + "(a bearing) or not (a gimbal, a fan, a pump).")}",
                string.Join(", ", n.Lines.Select(l => $"{Format.Number(l.Hz, 1)} Hz {Size(l.Mps2)}")),
                "Log a minute on the ground with everything but the motors switched on, then switch off one thing after the other: "
                    + "the line goes with the one that causes it."
            ),
            BroadbandDominates b => new(
                "Most of the vibration is broadband noise and not lines of the rotors: wind and rotor wash on the frame, a ringing part, "
                    + "or an IMU that is held too softly or too loosely.",
                $"broadband {Size(b.Mps2)}, {Format.Number(100 * b.Share, 0)} % of the mean square of all vibration",
                Bench + "press on the IMU's board and shake cables, covers and antennas by hand; fly again on a calm day."
            ),
            KnocksStandOut k => new(
                "The vibration contains short, hard knocks: something strikes or rattles, such as a loose battery, a "
                    + "cable in reach of a propeller, "
                    + "or a landing gear with play.",
                $"{Grammar.Count(k.Count, "knock")}, about {Format.Number(k.PerMinute, 0)} a minute, the first at "
                    + $"{Format.Number(k.FirstS ?? 0, 1)} s, up to {Format.Number(k.PeakMps2, 1)} m/s²; {Size(k.AllMps2)} in all",
                Bench
                    + "shake the aircraft and listen; look at the propellers' tips for marks, and fasten battery, cables and landing gear."
            ),
            _ => null,
        };

    private static FindingText? Power(Reason cause) =>
        cause switch
        {
            CarriesMore c => new(
                $"{c.Motor} carries {Format.Number(100 * (c.Share - c.OthersShare), 0)} % more than the others, and "
                    + "neither the centre of gravity nor "
                    + "the yaw trim explains it: its propeller gives less thrust at the same speed. A damaged propeller, or "
                    + "one of another kind, can cause this.",
                $"load share {Format.Number(c.Share, 2)} ({Format.Range(c.Ci95, 2)}), median of the others {Format.Number(c.OthersShare, 2)}",
                Bench
                    + $"compare the propeller of {c.Motor} with the others: kind, size, side up, nicks, cracks. If it "
                    + "looks alike, swap it with a motor "
                    + "of the same spin that carries its even share: if the load goes with the propeller, replace it; "
                    + "if it stays, look at the mount's tilt."
            ),
            DrawsMore d => new(
                $"{d.Motor} draws {Format.Number(100 * (d.Ratio - 1), 0)} % more current than the others do at its speed: "
                    + "a propeller of more pitch, "
                    + "a tight bearing, something that rubs, a damaged winding, weak magnets, or other settings of its ESC.",
                $"{Format.Number(d.CurrentA, 1)} A at {Format.Number(d.Rpm, 0)} rpm, {Format.Number(d.Ratio, 2)} times the "
                    + $"others' ({Format.Range(d.Ci95, 2)}), "
                    + "scaled with the cube of speed",
                Bench
                    + $"compare the propeller's kind and turn the bell of {d.Motor} by hand. Then read its no-load "
                    + "current without a propeller beside "
                    + "another motor's: if it still draws more, the cause is the motor or ESC; if not, the propeller."
            ),
            CommandAtEnd c => new(
                $"{c.Motor} is at full command for {Format.Number(100 * c.Share, 1)} % of the hover: nothing is "
                    + "left for gusts or a fading battery.",
                $"mean command {Format.Number(100 * c.Mean, 0)} %, at {Format.Number(100 * PowerTrain.FullCommand, 0)} % or "
                    + $"above for {Format.Number(100 * c.Share, 1)} % of the hover",
                Bench
                    + "weigh the aircraft as flown against what its motors lift, charge the battery and measure its voltage; "
                    + $"if only {c.Motor} is at its limit, look at its propeller and its mount's tilt."
            ),
            SpeedFalls f => new(
                $"The speed of {f.Motor} drops while its command does not. The ESC loses synchronisation with the motor, or a joint opens "
                    + "under load. Such a rotor may stop.",
                $"{Grammar.Count(f.Count, "drop")} by {Format.Number(100 * f.Depth, 0)} % (median), the first at "
                    + $"{Format.Number(f.FirstS, 1)} s",
                Bench
                    + $"look at the solder joints and plugs of {f.Motor} and its ESC, and compare the ESC's settings "
                    + "(timing, start-up) with the others'. "
                    + "Then swap the ESC with another motor's: if the drops go with it, replace it; if they stay, look at motor and leads."
            ),
            BatterySags s => new(
                $"The battery loses {Format.Number(100 * s.Share, 0)} % of its voltage under the load of the hover: it is "
                    + "small, aged, cold, or a plug is poor.",
                $"{Format.Number(s.RestV, 1)} V at rest, {Format.Number(s.LoadV, 1)} V in the hover",
                "Measure the resistance of its cells with a charger that can, at room temperature, and feel its plugs "
                    + "after a hover: a poor one is warm. "
                    + "Fly another battery and compare."
            ),
            _ => null,
        };

    private static FindingText? Log(Reason cause) =>
        cause switch
        {
            AccelerometerClips c => new(
                "The accelerometer reaches the end of its range: true levels are higher than those shown.",
                $"{Format.Whole(c.Clipped)} of {Grammar.Count(c.Samples, "sample")} at the end of the range",
                "Set the sensor to a wider range for the next flight, or move it to a calmer place."
            ),
            RateTooLowForBladePass r => new(
                "The sample rate of the log is too low for the rotors: their lines are folded (aliased) or filtered out.",
                $"sample rate {Format.Number(r.RateHz, 0)} Hz"
                    + $"{(r.NeededHz is double needed ? $"; blade pass needs at least {Format.Number(needed, 0)} Hz" : "")}",
                "Log the IMU at 1000 Hz or more for the next flight."
            ),
            TelemetryUnusable t => new(
                $"Telemetry of {t.Motor} {(t.Kind == TelemetryFault.Frozen
                    ? "repeats old readings"
                    : "holds impossible readings, such as zeros in flight")}; these were left out, and the rest was used.",
                $"{Format.Number(100 * t.Share, 1)} % of its "
                    + $"readings{(t.LongestS is double s ? $", up to {Format.Number(s, 1)} s without a new one" : "")}",
                Bench
                    + $"look at the telemetry lead, plug and solder joint of {t.Motor}; where all motors do it, ask for "
                    + "fewer values a second."
            ),
            DipsFollowRotors d => new(
                "The floor of the spectrum dips where the rotors' lines should stand. The log was written after filters that follow the "
                    + "rotors, so it shows less vibration than the frame has. The sizes of orders in this log, and their changes, mean little.",
                string.Join(
                    ", ",
                    d.Dips.Select(x => $"order {Format.Whole(x.Order)}: {Format.Number(x.DepthDb, 0)} dB below the floor beside it")
                ),
                "Log the gyro and accelerometer before the controller's filters for the next flight."
            ),
            TelemetryDropsOut t => new(
                $"Telemetry of {t.Motor} drops out in flight.",
                $"{Grammar.Count(t.DropOuts, "drop-out")}, {Format.Number(t.LostS, 1)} s in {Format.Number(t.HoverS, 0)} s of hover",
                Bench + $"look at the telemetry lead, plug and solder joint of {t.Motor}."
            ),
            _ => null,
        };

    private static FindingText OrderOne(OrderOneStandsOut o)
    {
        string swap = Swaps(o);
        string tiltFirst = o.TiltFirst ? $"measure the tilt of {Mounts(o)} first, because the yaw trim points to tilt too; then " : "";
        string unbalance = o.UnbalanceGmm is double gmm
            ? $"; if all of it were unbalance of a rigid aircraft: about {Format.Number(gmm, 0)} g·mm"
            : "";
        return new(
            $"{o.Motor} vibrates once per turn at {Format.Number(o.Mps2 / o.OthersMps2, 1)} times the median of the other motors. "
                + "An unbalanced or damaged propeller, a bent shaft and a tilted mount all look like this.",
            Order(1, o.Mps2, o.Ci95, o.VelocityMmps, o.OthersMps2) + unbalance,
            Bench + tiltFirst + swap
        );
    }

    /// <summary>One plan for all motors that stand out, and what each outcome means.</summary>
    private static string Swaps(OrderOneStandsOut o)
    {
        IReadOnlyList<PropellerSwap> plan = o.Plan.Count > 0 ? o.Plan : [new(1, o.Motor, o.SwapWith)];
        string[] flights =
        [
            .. plan.GroupBy(p => p.Flight)
                .Select(f =>
                    (f.Key == 1 ? "" : "after that flight ")
                    + string.Join(
                        "; ",
                        f.Where(p => p.Calm is not null)
                            .Select(p => $"swap the propellers of {p.Suspect} and {p.Calm} (both turn the same way, and {p.Calm} is calm)")
                            .Concat(NewPropellers([.. f.Where(p => p.Calm is null).Select(p => p.Suspect)]))
                    )
                    + ", and fly again"
                ),
        ];
        return $"{string.Join("; ", flights)}. Where order 1 goes with the propeller, balance or replace it. Where it stays, "
            + "run that motor on the bench without a propeller: if it shakes there too, it is the bell, the shaft or a "
            + "bearing; if not, the tilt of its mount.";
    }

    private static string[] NewPropellers(string[] motors) =>
        motors.Length == 0 ? [] : [$"put another propeller on {(motors.Length == 1 ? "" : "each of ")}{Grammar.List(motors)}"];

    private static string Mounts(OrderOneStandsOut o)
    {
        string[] motors = o.Plan.Count > 0 ? [.. o.Plan.Select(p => p.Suspect).Distinct()] : [o.Motor];
        return $"the {Grammar.Agree(motors.Length, "mount", "mounts")} of {Grammar.List(motors)}";
    }

    private static FindingText BladePass(BladePassStandsOut b) =>
        new(
            $"{b.Motor} vibrates at its blade pass (order {Format.Whole(b.Order)}) at {Format.Number(b.Mps2 / b.OthersMps2, 1)} "
                + "times the median of the other motors: "
                + "a damaged blade, a blade out of track, or something close under the propeller.",
            Order(b.Order, b.Mps2, b.Ci95, b.VelocityMmps, b.OthersMps2),
            Bench
                + $"compare the blade tips of {b.Motor} for height and nicks, look for a loose blade or hub, and for cables or parts near "
                + "the disc."
        );

    private static string Order(int order, double mps2, Interval ci95, double? velocityMmps, double othersMps2) =>
        $"order {Format.Whole(order)}: {Format.Number(mps2, 2)} m/s² ({Format.Range(ci95, 2)})"
        + $"{(velocityMmps is double velocity ? $", or {Format.Number(velocity, 1)} mm/s" : "")}; median of the others "
        + $"{Format.Number(othersMps2, 2)} m/s²";

    private static FindingText GravityOffset(GravityOffHub g)
    {
        string[] where =
        [
            .. Math.Abs(g.ForwardM) > g.LeastM ? [g.ForwardM > 0 ? "forward" : "aft"] : (string[])[],
            .. Math.Abs(g.RightM) > g.LeastM ? [g.RightM > 0 ? "right" : "left"] : (string[])[],
        ];
        return new(
            $"The centre of gravity seems to lie {string.Join(' ', where)} of the hub: the motors on that side carry more.",
            $"{Mm(g.ForwardM)} mm forward ({Mm(g.ForwardCi95.Low)} to {Mm(g.ForwardCi95.High)}), {Mm(g.RightM)} mm right "
                + $"({Mm(g.RightCi95.Low)} to {Mm(g.RightCi95.High)}), from speeds squared; arm {Format.Number(1000 * g.ArmM, 0)} mm",
            Bench + "balance the aircraft on two fingers with battery and load as flown, and shift the battery."
        );
    }

    private static FindingText Hot(HotterThanLoad h)
    {
        string what = h.Esc ? "ESC" : "motor",
            who = h.Esc ? $"the ESC of {h.Motor}" : $"motor {h.Motor}";
        return new(
            $"{Grammar.Capital(who)} would settle {Format.Number(h.RiseC - h.ExpectedC, 0)} °C hotter than its load and "
                + $"the other {what}s explain.",
            $"steady rise {Format.Number(h.RiseC, 1)} °C ({Format.Range(h.Ci95, 1)}), expected about {Format.Number(h.ExpectedC, 0)} °C",
            Bench
                + $"let {who} cool, then "
                + (
                    h.Esc
                        ? "see that air reaches it, that its solder joints and plugs are sound, and that its settings equal the others'."
                        : "turn it by hand and feel for a rough or tight bearing and for rubbing; see that no mount "
                            + "screw reaches the windings; "
                            + "then compare its no-load current with another's."
                )
        );
    }

    private static string Lines(IReadOnlyList<LockedLine> lines, int decimals) =>
        string.Join(
            ", ",
            lines.Select(l => $"×{Format.Number(l.Multiple, decimals)}{(l.MotorId is null ? "" : " of " + l.MotorId)} {Size(l.Mps2)}")
        );

    private static string Resonance(ResonanceSeen r) =>
        $"resonance {Format.Number(r.Hz, 1)} Hz "
        + $"({(r.HzCi95 is Interval ci ? Format.Range(ci, 1) : "no interval")}), damping {Format.Number(100 * r.DampingRatio, 1)} % of critical "
        + $"on {r.Channel}";

    private static string Mm(double metres) => Format.Signed(1000 * metres, 0);

    private static string Size(Estimate size) =>
        size is { Value: double value, Ci95: Interval ci } ? $"{Format.Number(value, 2)} m/s² ({Format.Range(ci, 2)})" : Format.NotKnown;
}
