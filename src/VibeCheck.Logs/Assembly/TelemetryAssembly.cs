using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Assembly;

/// <summary>From columns with their rows to one series a quantity and motor.</summary>
internal sealed class TelemetryAssembly
{
    private readonly Airframe? _airframe;
    private readonly Dictionary<(string? Motor, Quantity Quantity), Gathered> _gathered = [];
    private readonly List<Warning> _warnings = [];

    internal TelemetryAssembly(Airframe? airframe) => _airframe = airframe;

    internal IReadOnlyList<Warning> Warnings => _warnings;

    /// <summary>Motors met in the logs, in the airframe's order where there is one.</summary>
    internal IReadOnlyList<string> MotorIds
    {
        get
        {
            List<string> met = [.. _gathered.Keys.Where(k => k.Motor is not null).Select(k => k.Motor!).Distinct()];
            return _airframe is null ? met : [.. _airframe.Motors.Select(m => m.Id).Where(met.Contains)];
        }
    }

    /// <summary>Takes in a file; what an earlier file gave for the same motor and quantity is kept and, in time order, added to.</summary>
    /// <param name="file">The file.</param>
    /// <param name="shiftS">Added to its times to meet the flight's clock, s.</param>
    /// <param name="onlyMissing">Whether to take only what no file gave so far.</param>
    internal void Add(ScaledTable file, double shiftS, bool onlyMissing)
    {
        var had = onlyMissing ? _gathered.Keys.ToHashSet() : [];
        var unknown = new SortedSet<string>(file.UnknownMotors, StringComparer.Ordinal);
        Dictionary<int, int[]> held = Held(file);
        foreach (PlannedColumn column in file.SparseColumns)
        {
            Quantity quantity = column.Channel!.Quantity;
            if (quantity is Quantity.MotorId or Quantity.ImuId)
            {
                continue;
            }

            if (file.Plan.MotorId is { } id && column.IsNamedByRow)
            {
                AddByLabel(file, column, file.Values(id), shiftS, had, unknown);
                continue;
            }

            string? motor = column.Channel.IsMotor ? column.MotorId : null;
            if (!had.Contains((motor, quantity)))
            {
                SparseColumn values = file.Values(column);
                if (held.TryGetValue(column.Index, out int[]? places))
                {
                    AddReadings(motor, quantity, file, Pick(values.Rows, places), Pick(values.Values, places), shiftS, column);
                }
                else
                {
                    AddReadings(motor, quantity, file, values.Rows, values.Values, shiftS, column);
                }
            }
        }

        TellUnknown(file, unknown);
    }

    /// <summary>For each column that is held, by its place in the file, where its reports are.</summary>
    private Dictionary<int, int[]> Held(ScaledTable file)
    {
        var held = new Dictionary<int, int[]>();
        if (file.Plan.MotorId is not null)
        {
            return held;
        }

        foreach (var motor in file.Plan.MotorColumns.Where(c => c.MotorId is not null).GroupBy(c => c.MotorId))
        {
            foreach ((PlannedColumn column, int[] places) in HeldTelemetry.Reports([.. motor.Select(c => (c, file.Values(c)))]))
            {
                held[column.Index] = places;
            }
        }

        if (held.Count > 0)
        {
            _warnings.Add(new("telemetry-held", "Telemetry is repeated in every row until the next report; the reports were picked out."));
        }

        return held;
    }

    private static T[] Pick<T>(ReadOnlySpan<T> all, int[] places)
    {
        T[] picked = new T[places.Length];
        for (int i = 0; i < places.Length; i++)
        {
            picked[i] = all[places[i]];
        }

        return picked;
    }

    /// <summary>The series of a motor and quantity (motor null for the aircraft); null when no file has it.</summary>
    internal Series? Take(string? motor, Quantity quantity) =>
        _gathered.TryGetValue((motor, quantity), out Gathered? gathered) ? gathered.ToSeries() : null;

    internal IReadOnlyList<MotorTrack> Tracks() =>
        [
            .. MotorIds.Select(id => new MotorTrack
            {
                MotorId = id,
                Rpm = Take(id, Quantity.RotorSpeed),
                Command = Take(id, Quantity.Command),
                CurrentA = Take(id, Quantity.Current),
                VoltageV = Take(id, Quantity.Voltage),
                MotorTempC = Take(id, Quantity.MotorTemp),
                EscTempC = Take(id, Quantity.EscTemp),
            }),
        ];

    private void TellUnknown(ScaledTable file, SortedSet<string> unknown)
    {
        if (unknown.Count == 0 || _airframe is null)
        {
            return;
        }

        string names = string.Join(", ", unknown.Take(8));
        if (!file.Plan.MotorColumns.Any(c => c.MotorId is not null) && MotorIds.Count == 0)
        {
            throw file.Fault(
                file.Form.HeaderLine,
                null,
                $"no motor of the log ({names}) is one of the airframe's "
                    + $"({string.Join(", ", _airframe.Motors.Select(m => m.Id).Take(12))})",
                "Use the same ids in the airframe file, or say which is which in a columns file (vibecheck read --write-columns)."
            );
        }

        _warnings.Add(new("motors-unknown", $"Left out, because the airframe has no such motor: {names}."));
    }

    private void AddByLabel(
        ScaledTable file,
        PlannedColumn column,
        SparseColumn labels,
        double shiftS,
        HashSet<(string?, Quantity)> had,
        SortedSet<string> unknown
    )
    {
        IReadOnlyList<string> names = file.Rows.Labels;
        string?[] ids = [.. names.Select(n => file.Motors.OfText(n))];
        for (int i = 0; i < ids.Length; i++)
        {
            if (ids[i] is null)
            {
                unknown.Add(CellText.Cut(names[i]));
            }
        }

        SparseColumn values = file.Values(column);
        var rows = new List<int>[ids.Length];
        var readings = new List<double>[ids.Length];
        int l = 0;
        for (int i = 0; i < values.Count; i++)
        {
            int row = values.Rows[i];
            while (l < labels.Count && labels.Rows[l] < row)
            {
                l++;
            }

            if (l < labels.Count && labels.Rows[l] == row && ids[(int)labels.Values[l]] is not null)
            {
                int label = (int)labels.Values[l];
                (rows[label] ??= []).Add(row);
                (readings[label] ??= []).Add(values.Values[i]);
            }
        }

        for (int label = 0; label < ids.Length; label++)
        {
            if (rows[label] is not null && ids[label] is { } motor && !had.Contains((motor, column.Channel!.Quantity)))
            {
                AddReadings(motor, column.Channel.Quantity, file, rows[label].ToArray(), readings[label].ToArray(), shiftS, column);
            }
        }
    }

    private void AddReadings(
        string? motor,
        Quantity quantity,
        ScaledTable file,
        ReadOnlySpan<int> rows,
        ReadOnlySpan<double> values,
        double shiftS,
        PlannedColumn column
    )
    {
        double factor = 1;
        if (column.Unit is { IsElectrical: true })
        {
            int? polePairs = motor is null ? null : _airframe?.Find(motor)?.PolePairs;
            if (polePairs is null && _airframe is not null)
            {
                throw file.Fault(
                    file.Form.HeaderLine,
                    column.Index + 1,
                    $"'{CellText.Cut(column.Header)}' is electrical speed, and the airframe gives no pole_pairs for {motor}",
                    "Add pole_pairs (half the number of magnets) to that motor in the airframe file."
                );
            }

            factor = 1.0 / (polePairs ?? 1);
        }

        var gathered = new Gathered();
        if (_gathered.TryGetValue((motor, quantity), out Gathered? before))
        {
            gathered = before;
        }

        double sign = column.Channel!.Down ? -factor : factor;
        gathered.Add(file.TimeS, rows, values, shiftS, sign);
        _gathered[(motor, quantity)] = gathered;
        int odd = gathered.NegativeCount;
        if (quantity == Quantity.RotorSpeed && odd > 0 && odd == gathered.Count)
        {
            gathered.Negate();
            _warnings.Add(
                new(
                    "speed-negative",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{motor} speed is negative throughout (sense of rotation); its size is used."
                    )
                )
            );
        }
    }

    /// <summary>Readings of one motor and quantity, strictly rising in time.</summary>
    private sealed class Gathered
    {
        private double[] _time = [];
        private double[] _values = [];

        internal int Count { get; private set; }

        internal int NegativeCount { get; private set; }

        internal void Add(double[] timeS, ReadOnlySpan<int> rows, ReadOnlySpan<double> values, double shiftS, double factor)
        {
            Array.Resize(ref _time, Count + rows.Length);
            Array.Resize(ref _values, Count + rows.Length);
            for (int i = 0; i < rows.Length; i++)
            {
                double time = timeS[rows[i]] + shiftS;
                if (double.IsNaN(time))
                {
                    continue;
                }

                double value = values[i] * factor;
                if (Count > 0 && time <= _time[Count - 1])
                {
                    if (time == _time[Count - 1])
                    {
                        _values[Count - 1] = value;
                    }

                    continue;
                }

                NegativeCount += value < 0 ? 1 : 0;
                _time[Count] = time;
                _values[Count++] = value;
            }
        }

        internal void Negate()
        {
            for (int i = 0; i < Count; i++)
            {
                _values[i] = -_values[i];
            }

            NegativeCount = 0;
        }

        // Where every reading was kept the arrays are handed over as they lie, so that they do not stand in memory twice.
        internal Series? ToSeries() =>
            Count == 0 ? null
            : Count == _time.Length ? new Series(_time, _values)
            : new Series(_time[..Count], _values[..Count]);
    }
}
