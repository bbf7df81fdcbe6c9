using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Orders;

/// <summary>A segment demodulated by the angle of every rotor: for each line the envelope of the samples around it. Owns buffers of
/// the workspace until it is disposed; nothing of it changes before.</summary>
internal sealed class DemodulatedSegment : IDisposable
{
    private DemodulatedSegment(DetrendedSegment segment, IReadOnlyList<Line> lines, RotorPhases phases, Workspace workspace)
    {
        (Segment, Lines, Phases, Workspace) = (segment, lines, phases, workspace);
        Sums = workspace.Rent(3 * lines.Count, segment.EnvelopeCount);
        Units = workspace.Rent(lines.Count, segment.EnvelopeCount);
    }

    internal DetrendedSegment Segment { get; }

    internal IReadOnlyList<Line> Lines { get; }

    /// <summary>The angles that it was demodulated by.</summary>
    internal RotorPhases Phases { get; }

    internal Workspace Workspace { get; }

    internal int Rotors => Phases.Rotors;

    /// <summary>Demodulated samples, [3 · line + axis][sample]: the line's envelope and whatever else lies near.</summary>
    internal EnvelopeSet Sums { get; }

    /// <summary>exp(i · signed order · angle), [line][sample].</summary>
    internal EnvelopeSet Units { get; }

    /// <summary>Processes all samples with the given angles.</summary>
    /// <param name="segment">The samples.</param>
    /// <param name="lines">All lines, those of one rotor in rising order.</param>
    /// <param name="phases">Angles of all rotors; their speeds are taken again.</param>
    /// <param name="workspace">Lends the buffers.</param>
    internal static DemodulatedSegment Of(DetrendedSegment segment, IReadOnlyList<Line> lines, RotorPhases phases, Workspace workspace)
    {
        var made = new DemodulatedSegment(segment, lines, phases.WithSpeeds(), workspace);
        Parallel.For(0, made.Rotors, workspace.Threads, made.Demodulate);
        return made;
    }

    /// <summary>The same samples demodulated by corrected angles, without going through them again: for slow corrections.</summary>
    /// <param name="correction">Added to the angles, rad, [rotor][sample].</param>
    /// <param name="withSpeeds">Whether speeds are taken again from the corrected angles.</param>
    internal DemodulatedSegment Rotated(double[][] correction, bool withSpeeds)
    {
        RotorPhases phases = Phases.Plus(correction);
        var made = new DemodulatedSegment(Segment, Lines, withSpeeds ? phases.WithSpeeds() : phases, Workspace);
        Complex[][] turns = [.. correction.Select(c => Array.ConvertAll(c, UnitOf))];
        for (int line = 0; line < Lines.Count; line++)
        {
            Rotate(line, turns[Lines[line].Rotor], made);
        }

        return made;
    }

    /// <summary>The first part, with some of the lines.</summary>
    internal DemodulatedSegment Head(double longestS, Func<Line, bool> keep)
    {
        int[] kept = [.. Enumerable.Range(0, Lines.Count).Where(l => keep(Lines[l]))];
        DetrendedSegment head = Segment.Head((int)(longestS / Segment.EnvelopeS));
        var made = new DemodulatedSegment(head, [.. kept.Select(l => Lines[l])], Phases.Head(head.Intervals), Workspace);
        for (int line = 0; line < kept.Length; line++)
        {
            Units[kept[line]].AsSpan(0, head.EnvelopeCount).CopyTo(made.Units[line]);
            for (int axis = 0; axis < 3; axis++)
            {
                Sums[3 * kept[line] + axis].AsSpan(0, head.EnvelopeCount).CopyTo(made.Sums[3 * line + axis]);
            }
        }

        return made;
    }

    /// <summary>What the demodulation's triangle leaves of one line seen along another, sample by sample: sinc² of their
    /// distance.</summary>
    internal void Response(int line, int other, int fromSample, Span<double> response)
    {
        Line a = Lines[line],
            b = Lines[other];
        if (a.Rotor == b.Rotor && a.SignedOrder == b.SignedOrder)
        {
            response.Fill(1);
            return;
        }

        ReadOnlySpan<double> own = Phases.SpeedHz[a.Rotor].AsSpan(fromSample, response.Length);
        ReadOnlySpan<double> its = Phases.SpeedHz[b.Rotor].AsSpan(fromSample, response.Length);
        double scale = Math.PI * Segment.EnvelopeS,
            ownScale = scale * a.SignedOrder,
            itsScale = scale * b.SignedOrder;
        double shift = scale * (b.ShiftHz - a.ShiftHz);
        Span<Vector256<double>> to = MemoryMarshal.Cast<double, Vector256<double>>(response);
        ReadOnlySpan<Vector256<double>> x = MemoryMarshal.Cast<double, Vector256<double>>(own);
        ReadOnlySpan<Vector256<double>> y = MemoryMarshal.Cast<double, Vector256<double>>(its);
        for (int v = 0; v < to.Length; v++)
        {
            to[v] = SincSquared(itsScale * y[v] - ownScale * x[v] + Vector256.Create(shift));
        }

        for (int k = 4 * to.Length; k < response.Length; k++)
        {
            response[k] = SincSquared(itsScale * its[k] - ownScale * own[k] + shift);
        }
    }

    /// <summary>The same at one sample.</summary>
    internal double Response(int line, int other, int sample)
    {
        Line a = Lines[line],
            b = Lines[other];
        double own = Phases.SpeedHz[a.Rotor][sample],
            its = Phases.SpeedHz[b.Rotor][sample];
        return a.Rotor == b.Rotor && a.SignedOrder == b.SignedOrder
            ? 1
            : SincSquared(Math.PI * Segment.EnvelopeS * (b.SignedOrder * its - a.SignedOrder * own + b.ShiftHz - a.ShiftHz));
    }

    /// <summary>Returns the buffers.</summary>
    public void Dispose()
    {
        Sums.Dispose();
        Units.Dispose();
    }

    private void Demodulate(int rotor)
    {
        int[] lines = [.. Enumerable.Range(0, Lines.Count).Where(l => Lines[l].Rotor == rotor)];
        if (lines.Length == 0)
        {
            return;
        }

        Complex[][] sums = [.. lines.SelectMany(l => Sums.All[(3 * l)..(3 * l + 3)])];
        Demodulator.Fill(Segment, Phases.HalfSteps(rotor), [.. lines.Select(l => Lines[l].Order)], sums);
        for (int i = 0; i < lines.Length; i++)
        {
            for (int axis = 0; axis < 3 && Lines[lines[i]].IsMirrored; axis++)
            {
                Conjugate(sums[3 * i + axis]);
            }

            FillUnits(rotor, Lines[lines[i]].SignedOrder, Units[lines[i]]);
        }
    }

    private void Rotate(int line, ReadOnlySpan<Complex> turns, DemodulatedSegment to)
    {
        Complex[] units = Units[line],
            x = Sums[3 * line],
            y = Sums[3 * line + 1],
            z = Sums[3 * line + 2];
        Complex[] newUnits = to.Units[line],
            newX = to.Sums[3 * line],
            newY = to.Sums[3 * line + 1],
            newZ = to.Sums[3 * line + 2];
        int times = Math.Abs(Lines[line].SignedOrder);
        bool mirrored = Lines[line].IsMirrored;
        for (int b = 0; b < turns.Length; b++)
        {
            Complex turn = turns[b];
            for (int k = 1; k < times; k++)
            {
                turn *= turns[b];
            }

            Complex back = Complex.Conjugate(turn);
            (turn, back) = mirrored ? (back, turn) : (turn, back);
            newUnits[b] = units[b] * turn;
            newX[b] = x[b] * back;
            newY[b] = y[b] * back;
            newZ[b] = z[b] * back;
        }
    }

    private void FillUnits(int rotor, int signedOrder, Complex[] units)
    {
        for (int b = 0; b < units.Length; b++)
        {
            units[b] = UnitOf(signedOrder * Phases.Angle(rotor, b));
        }
    }

    private static Complex UnitOf(double angle)
    {
        (double sin, double cos) = Math.SinCos(angle);
        return new Complex(cos, sin);
    }

    private static void Conjugate(Complex[] values)
    {
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Complex.Conjugate(values[i]);
        }
    }

    // (sin x / x)², by its series up to the first zero; beyond, what passes turns too fast to matter.
    private static double SincSquared(double x) => SincSquared(Vector256.Create(x))[0];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> SincSquared(Vector256<double> x)
    {
        Vector256<double> y = x * x,
            one = Vector256<double>.One;
        Vector256<double> sinc =
            one - y * (1 / 6.0) * (one - y * (1 / 20.0) * (one - y * (1 / 42.0) * (one - y * (1 / 72.0) * (one - y * (1 / 110.0)))));
        return Vector256.ConditionalSelect(Vector256.GreaterThan(y, Vector256.Create(9.0)), default, sinc * sinc);
    }
}
