using System.Collections.Concurrent;
using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Buffers of one measurement, rented by one result after the other: touching new memory costs more than the sums that go
/// into it. Several threads may rent and return.</summary>
internal sealed class Workspace
{
    private readonly ConcurrentBag<Complex[]> _free;

    private readonly IProgress<FitProgress>? _progress;

    /// <summary>A workspace whose users may take all cores.</summary>
    /// <param name="progress">Receives each window and pass; may be null.</param>
    internal Workspace(IProgress<FitProgress>? progress = null)
        : this([], new ParallelOptions(), progress) { }

    private Workspace(ConcurrentBag<Complex[]> free, ParallelOptions threads, IProgress<FitProgress>? progress) =>
        (_free, Threads, _progress) = (free, threads, progress);

    /// <summary>How many threads one calculation may use.</summary>
    internal ParallelOptions Threads { get; }

    /// <summary>Whether one calculation may use several threads.</summary>
    internal bool IsParallel => Threads.MaxDegreeOfParallelism != 1;

    /// <summary>The same buffers for calculations of one thread each, where several run at the same time.</summary>
    internal Workspace WithOneThread() => new(_free, new ParallelOptions { MaxDegreeOfParallelism = 1 }, _progress);

    /// <summary>Reports a window that was fitted.</summary>
    internal void WindowFitted() => _progress?.Report(new(1, 0));

    /// <summary>Reports a pass over a segment.</summary>
    internal void PassDone() => _progress?.Report(new(0, 1));

    /// <summary>Buffers of some length. What stands in them is left over: write before reading.</summary>
    internal EnvelopeSet Rent(int count, int length)
    {
        var buffers = new Complex[count][];
        for (int i = 0; i < count; i++)
        {
            buffers[i] = _free.TryTake(out Complex[]? one) && one.Length == length ? one : GC.AllocateUninitializedArray<Complex>(length);
        }

        return new EnvelopeSet(this, buffers);
    }

    /// <summary>Takes back buffers that nobody will look at any more.</summary>
    internal void Return(Complex[][] buffers)
    {
        foreach (Complex[] buffer in buffers)
        {
            _free.Add(buffer);
        }
    }
}
